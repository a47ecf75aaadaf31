#include "stillwell/report/manifest.hpp"

#include "support/catch.hpp"
#include "support/process.hpp"

using namespace stillwell::report;

namespace {

const std::string kLevel = "homie/5/orchard-pond/water/level";
const std::string kState = "homie/5/orchard-pond/$state";
const std::string kDocument = "hub/device/orchard_pond/config";

}  // namespace

TEST_CASE("manifest: what was told before and has no place now is known after a restart",
          "[report][manifest]") {
  const support::TemporaryDirectory directory;
  {
    Manifest manifest{directory.path(), "orchard"};
    CHECK(manifest.gone({{kLevel, {}}}).empty());
    CHECK_FALSE(manifest.add({{kLevel, {}}, {kState, {}}}).has_value());
  }
  Manifest manifest{directory.path(), "orchard"};
  CHECK(manifest.trouble().empty());
  CHECK(manifest.gone({{kState, {}}}) == Retained{{kLevel, {}}});
  SECTION("until it is deleted") {
    CHECK_FALSE(manifest.keep_only({{kState, {}}}).has_value());
    CHECK(Manifest{directory.path(), "orchard"}.gone({}) == Retained{{kState, {}}});
  }
  SECTION("also if the daemon ends in the middle of it") {
    CHECK_FALSE(manifest.add({{kState, {}}, {kDocument, {}}}).has_value());
    CHECK(Manifest{directory.path(), "orchard"}.gone({}).size() == 3);
  }
}

TEST_CASE("manifest: of a document the entities are known too", "[report][manifest]") {
  const support::TemporaryDirectory directory;
  const Parts before{{"water-level", "sensor"}, {"alarm-low", "binary_sensor"}};
  CHECK_FALSE(Manifest(directory.path(), "orchard").add({{kDocument, before}}).has_value());
  const Manifest manifest{directory.path(), "orchard"};
  CHECK(manifest.gone({{kDocument, before}}).empty());
  CHECK(manifest.gone({{kDocument, {{"water-level", "sensor"}}}}) ==
        Retained{{kDocument, {{"alarm-low", "binary_sensor"}}}});
  CHECK(manifest.gone({{kDocument, {{"water-level", "sensor"}, {"alarm-low", "select"}}}}) ==
        Retained{{kDocument, {{"alarm-low", "binary_sensor"}}}});
  CHECK(manifest.gone({}) == Retained{{kDocument, {}}});
}

TEST_CASE("manifest: nothing of another gateway is ever deleted", "[report][manifest]") {
  const support::TemporaryDirectory directory;
  const auto file = directory.file("retained.json");
  SECTION("a card that was copied and got another name") {
    CHECK_FALSE(Manifest(directory.path(), "orchard").add({{kLevel, {}}}).has_value());
    const Manifest manifest{directory.path(), "vineyard"};
    CHECK(manifest.gone({}).empty());
    CHECK(manifest.trouble().find("called `orchard` before") != std::string::npos);
    CHECK(manifest.trouble().find("homie/5/orchard/#") != std::string::npos);
  }
  SECTION("a file that somebody wrote other topics into") {
    support::write_file(file, R"({"site":"orchard","topics":{"homie/5/vineyard/$state":{},"homie/5/#":{},)"
                              R"("homie/5/orchardist/$state":{},"hub/sensor/vineyard/x/config":{},)"
                              R"("homie/5/orchard-pond/$state":{}}})");
    CHECK(Manifest{directory.path(), "orchard"}.gone({}) == Retained{{kState, {}}});
  }
}

TEST_CASE("manifest: a damaged file is said, and written anew", "[report][manifest]") {
  const support::TemporaryDirectory directory;
  const auto file = directory.file("retained.json");
  for (const char* text : {"", "{", "[]", R"({"site":1,"topics":{}})", R"({"site":"orchard","topics":[1]})",
                           R"({"site":"orchard","topics":{"homie/5/orchard/x":{"a":7}}})", "\xff\xfe"}) {
    INFO(text);
    support::write_file(file, text);
    Manifest manifest{directory.path(), "orchard"};
    CHECK(manifest.trouble().find("retained.json is damaged") != std::string::npos);
    CHECK(manifest.gone({}).empty());
    CHECK_FALSE(manifest.add({{kState, {}}}).has_value());
    CHECK(Manifest{directory.path(), "orchard"}.trouble().empty());
  }
}

TEST_CASE("manifest: without a directory nothing is kept, and a full disk is said", "[report][manifest]") {
  Manifest none{"", "orchard"};
  CHECK_FALSE(none.add({{kState, {}}}).has_value());
  CHECK(none.gone({}) == Retained{{kState, {}}});  // of this run
  Manifest nowhere{"/dev/null/nowhere", "orchard"};
  REQUIRE(nowhere.add({{kState, {}}}).has_value());
}
