// Findings about how far and how long a pump runs: a configuration that has each, and one that does not.
#include "support/bench_findings.hpp"

using namespace support;

namespace {

Changes with_flow(const std::string& flow, const std::string& limits) {
  return {{"duty: fill\n", "duty: fill\n    flow_rate: " + flow + "\n    limits: { " + limits + " }\n"}};
}

}  // namespace

TEST_CASE("findings: start and stop as near to each other as the readings are wrong", "[config][findings]") {
  // 1 % of the span of 2.45 m is 24.5 mm; a reading may be off by 2 cm to either side.
  const std::pair<std::string, std::string> rough{"gauge: header-top",
                                                  "gauge: header-top\n    settle: { noise: 2 cm }"};
  expect({"range-within-noise",
          kWarning,
          "lift",
          {"2.230 m", "2.254 m", "lie 0.025 m", "header-top", "0.020 m"}},
         {rough, {"start_at: 45 %", "start_at: 91 %"}});
  CHECK(coded("range-within-noise", findings_of({rough, {"start_at: 45 %", "start_at: 90 %"}})).empty());
  CHECK(coded("range-within-noise", findings_of({{"start_at: 45 %", "start_at: 91 %"}})).empty());
}

TEST_CASE("findings: a pump that is locked out before its tank is full", "[config][findings]") {
  // π/4 · 2.4² m² · 2.45 m = 11 083 L, of which 47 % lie between start and stop: 5 209 L, 87 min at 60 L/min;
  // from empty 92 %, 10 197 L, 170 min.
  expect({"run-at-most-too-short", kWarning, "lift", {"87 min", "60.0 L/min", "80 min", "stop_at"}},
         with_flow("60 L/min", "run_at_most: 80 min"));
  expect({"run-at-most-too-short", kNote, "lift", {"2 h 50 min", "an empty tank", "2 h 40 min"}},
         with_flow("60 L/min", "run_at_most: 160 min"));
  CHECK(coded("run-at-most-too-short", findings_of(with_flow("60 L/min", "run_at_most: 3 h"))).empty());
  CHECK(coded("run-at-most-too-short", findings_of(with_flow("60 L/min", "run_at_most: 0 s"))).empty());
}

TEST_CASE("findings: a drain pump that is locked out before a full sump is down", "[config][findings]") {
  // 1 m · 0.5 m · 1.2 m: from full to 15 % are 510 L, 51 min at 10 L/min; from 60 % 270 L, 27 min.
  const auto drained = [](const std::string& limit) {
    return Changes{{"duty: drain\n",
                    "duty: drain\n    flow_rate: 10 L/min\n    limits: { run_at_most: " + limit + " }\n"}};
  };
  expect({"run-at-most-too-short", kWarning, "drain", {"27 min", "26 min"}}, drained("26 min"));
  expect({"run-at-most-too-short", kNote, "drain", {"51 min", "a full tank", "50 min"}}, drained("50 min"));
  CHECK(coded("run-at-most-too-short", findings_of(drained("52 min"))).empty());
}

TEST_CASE("findings: a suction trip below the outlet that the pump draws from", "[config][findings]") {
  // 15 % of 2 m.
  expect({"suction-trip-below-outlet", kWarning, "lift", {"0.300 m", "cistern", "0.310 m"}},
         {{"to_full: 0.5 m", "to_full: 0.5 m\n    unusable: 31 cm"}});
  CHECK(coded("suction-trip-below-outlet",
              findings_of({{"to_full: 0.5 m", "to_full: 0.5 m\n    unusable: 30 cm"}}))
            .empty());
}
