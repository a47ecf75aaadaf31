// The real program on real files: a rehearsal of the demonstration, of its own recording, and against itself.
#include <algorithm>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

namespace {

using Json = nlohmann::ordered_json;

class Rehearsals {
 public:
  /// Exit code, and what was printed.
  int run(std::vector<std::string> arguments) {
    const std::string demo = support::source_dir() + "/config/demo/";
    arguments.insert(arguments.begin(),
                     {support::binary_dir() + "/stillwell", "rehearse", "--config", demo + "stillwell.yaml"});
    support::Process process{arguments};
    const auto code = process.wait_exit(support::Bound{120'000});
    REQUIRE(code);
    out = process.out();
    err = process.err();
    return *code;
  }
  [[nodiscard]] static std::string scenario() { return support::source_dir() + "/config/demo/scenario.yaml"; }
  [[nodiscard]] std::string file(const std::string& name) const { return directory_.file(name); }
  [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
    support::write_file(file(name), text);
    return file(name);
  }

  std::string out;
  std::string err;

 private:
  support::TemporaryDirectory directory_;
};

}  // namespace

TEST_CASE("rehearse: an hour of the demonstration tells the demonstration's story", "[e2e][rehearse]") {
  Rehearsals rehearsals;
  REQUIRE(rehearsals.run({rehearsals.scenario(), "--for", "1 h", "--csv", rehearsals.file("course.csv"),
                          "--svg", rehearsals.file("course.svg")}) == 0);
  CHECK(rehearsals.err.empty());
  // What config/demo/scenario.yaml promises: the lift runs the cistern low, trips, and goes on when the bore
  // helped.
  const auto tripped = rehearsals.out.find("lift: ");
  REQUIRE(tripped != std::string::npos);
  CHECK(rehearsals.out.find("source-low") != std::string::npos);
  CHECK(rehearsals.out.find("rehearsed for 60 min") != std::string::npos);
  const std::string course = support::read_file(rehearsals.file("course.csv"));
  CHECK(std::count(course.begin(), course.end(), '\n') == 61);
  support::Process look{
      {"python3", support::source_dir() + "/tests/support/svg_check.py", rehearsals.file("course.svg")}};
  CHECK(look.wait_exit() == 0);
  INFO(look.out());
  CHECK(look.out().find("well") != std::string::npos);
}

TEST_CASE("rehearse: a changed rule shows against what was before, and the same rule does not",
          "[e2e][rehearse]") {
  Rehearsals rehearsals;
  REQUIRE(rehearsals.run({rehearsals.scenario(), "--for", "20 min", "--json"}) == 0);
  const Json told = Json::parse(rehearsals.out);
  CHECK(told["lasted_s"] == 1200.0);
  CHECK(told["totals"]["pumps"]["lift"]["starts"] >= 1);
  const std::string before = rehearsals.write("before.json", rehearsals.out);
  CHECK(rehearsals.run({rehearsals.scenario(), "--for", "20 min", "--against", before}) == 0);
  CHECK(rehearsals.out.find(": the same") != std::string::npos);
  const std::string dry = rehearsals.write("dry.yaml", "tanks: { cistern: { start: 5 % } }\n");
  CHECK(rehearsals.run({dry, "--for", "20 min", "--against", before}) == 1);
  CHECK(rehearsals.out.find("not the same") != std::string::npos);
  CHECK(rehearsals.out.find("pumps/lift/starts: ") != std::string::npos);
}

TEST_CASE("rehearse: a recording of another place is played to the rules", "[e2e][rehearse]") {
  Rehearsals rehearsals;
  std::string text = "at,tanks.header,tanks.cistern,meters.lift-power\n";
  // A header that falls from 1.6 m to 0.4 m within two hours, a row a minute.
  for (int minute = 0; minute <= 120; ++minute)
    text += "2026-03-01T0" + std::to_string(4 + minute / 60) + (minute % 60 < 10 ? ":0" : ":") +
            std::to_string(minute % 60) + ":00Z," + std::to_string(1.6 - 0.01 * minute) + ",1.2,900\n";
  const std::string recording = rehearsals.write("valley.csv", text);
  REQUIRE(rehearsals.run({recording, "--json"}) == 0);
  const Json told = Json::parse(rehearsals.out);
  CHECK(told["begins"] == "2026-03-01T04:00:00.000Z");
  CHECK(told["lasted_s"] == Approx(7200.0).margin(2.0));
  CHECK(told["totals"]["tanks"]["header"]["lowest_m"] == Approx(0.4).margin(0.02));
  CHECK(rehearsals.err.find("the recording has no column of bore-depth") != std::string::npos);
  CHECK(told["totals"]["pumps"]["bore"]["starts"] == 0);
}

TEST_CASE("rehearse: what is wrong is told with its place, and nothing is printed",
          "[e2e][rehearse][errors]") {
  Rehearsals rehearsals;
  const auto refused = [&](const std::vector<std::string>& arguments, const std::string& why) {
    INFO(why);
    CHECK(rehearsals.run(arguments) == 2);
    CHECK(rehearsals.out.empty());
    CHECK(rehearsals.err.find(why) != std::string::npos);
  };
  refused({rehearsals.file("none.csv")}, "none.csv: no header");
  refused({rehearsals.file("none.yaml")}, "none.yaml: cannot be read");
  refused({rehearsals.write("bad.csv", "at,tanks.header\n0,1.0\n1,wet\n")}, "bad.csv: line 3: 'wet'");
  refused({rehearsals.scenario(), "--for", "1"}, "--for: ");
  refused({rehearsals.scenario(), "--for", "0 s"}, "--for: ");
  refused({rehearsals.scenario(), "--begins", "yesterday"}, "--begins: ");
  refused({rehearsals.scenario(), "--svg", "/nowhere/at/all.svg", "--for", "1 min"},
          "/nowhere/at/all.svg cannot be written");
  refused({rehearsals.scenario(), "--for", "1 min", "--against", rehearsals.write("not.json", "[]")},
          "it is not what `rehearse --json` prints");
}
