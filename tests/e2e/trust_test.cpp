// What a lying sensor looks like from outside: each fault on the wire ends in its own reason and stops
// what needs the level.

#include "support/catch.hpp"
#include "support/gateway.hpp"

using support::Gateway;

namespace {

const std::string kHeader = "/tanks/0/";
const std::string kSettle =
    "settle: { fastest: 10000 mm/min, smooth: 1 s }                  # water in small";

/// The header's settings of trust; with the others' levels may leap.
Gateway::Edits header_settles(const std::string& settle) {
  return {{kSettle, "settle: { smooth: 1 s, " + settle + " }  #"}};
}

/// Bad with this reason. How soon is checked in virtual time by the tests of the gauge: here it would be a
/// measure of the machine.
void expect_bad(const Gateway& gateway, const std::string& reason) {
  CHECK(gateway.status_becomes(kHeader + "reason", reason));
  CHECK(gateway.status(kHeader + "quality") == "bad");
  CHECK(gateway.journal_tells({R"("kind":"quality","of":"header","cause":")" + reason + "\""}));
}

}  // namespace

TEST_CASE("trust: a sensor that jumps is not followed, until it comes back or a person says so",
          "[e2e][rule-4]") {
  Gateway gateway{Gateway::With::no_broker, header_settles("fastest: 600 mm/min")};
  gateway.order("fault header-top stuck 40 cm");
  expect_bad(gateway, "jump");
  gateway.order("clear header-top");
  CHECK(gateway.status_becomes(kHeader + "quality", "good"));
  CHECK(gateway.command({"accept", "header"}).code == 4);

  gateway.order("fault header-top stuck 40 cm");
  expect_bad(gateway, "jump");
  CHECK(gateway.command({"accept", "cistern"}).code == 4);
  const auto accepted = gateway.command({"accept", "header"});
  CHECK(accepted.code == 0);
  CHECK(accepted.out.find("0.750 m") != std::string::npos);
  CHECK(gateway.status_becomes(kHeader + "quality", "good"));
  CHECK(gateway.status_becomes(kHeader + "level_m", "0.75"));
}

TEST_CASE("trust: a sensor that stands still while the lift fills the header is frozen and stops it",
          "[e2e][rule-2]") {
  Gateway gateway{Gateway::With::no_broker, header_settles("fastest: 100000 mm/min")};
  gateway.order("draw header 150 L/min");
  REQUIRE(gateway.orchard().wait_line("contact lift-contact on"));
  gateway.order("draw header 0 L/min");
  gateway.order("fault header-top frozen");
  expect_bad(gateway, "frozen");  // 5 cm at half of 300 L/min on 0.1 m²
  CHECK(gateway.orchard().wait_line("contact lift-contact off"));
  CHECK(gateway.journal_tells({R"("kind":"trip","of":"lift","cause":"tank-unknown")"}));
}

TEST_CASE("trust: an echo that is lost when the water is high means too near, not empty", "[e2e]") {
  Gateway gateway{Gateway::With::no_broker, header_settles("fastest: 2500 mm/min")};
  gateway.order("inflow header 150 L/min");
  REQUIRE(gateway.status_becomes("/alarms/1/state", "unacknowledged"));  // high-high
  gateway.order("inflow header 0 L/min");
  gateway.order("fault header-top stuck 3 m");
  expect_bad(gateway, "blanking");
}

TEST_CASE("trust: two gauges that contradict each other make the level bad", "[e2e][rule-3]") {
  Gateway gateway{
      Gateway::With::no_broker,
      {{"    gauge: header-top\n", "    gauges: [header-top, header-side]\n    disagree: 5 cm\n"},
       {"\ngauges:\n",
        "\ngauges:\n  header-side:\n    line: shed\n    station: 3\n    distance: { table: input, "
        "address: 0, as: u16, unit: 1 mm }\n    every: 500 ms\n    stale_after: 3 s\n"}}};
  gateway.order("fault header-side silence");
  CHECK(gateway.status_becomes(kHeader + "quality", "uncertain"));
  CHECK(gateway.status(kHeader + "reason") == "no-answer");
  gateway.order("clear header-side");
  CHECK(gateway.status_becomes(kHeader + "quality", "good"));
  gateway.order("fault header-side stuck 55 cm");
  expect_bad(gateway, "disagree");
}
