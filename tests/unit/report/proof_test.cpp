// The record of a proof test: its causes are those of the cause table and of the matrix, and what is expected
// of it is said beforehand.

#include "stillwell/report/proof.hpp"

#include "stillwell/report/matrix.hpp"

#include <algorithm>
#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

/// The bore has next to nothing; the lift a source, floats and feedback.
Model orchard() {
  Model model = support::working_orchard();
  model.switches = {Switch{"header-float", {}}, Switch{"cistern-float", {}}, Switch{"lift-running", {}}};
  Pump& lift = model.pumps[0];
  lift.float_trip = SwitchIndex{0};
  lift.source_float = SwitchIndex{1};
  lift.feedback = Feedback{SwitchIndex{2}, 4s};
  lift.high_trip = Metres{2.0};
  return model;
}

constexpr PumpIndex kLift{0};

const ProofRow& row_for(const std::vector<ProofRow>& rows, Cause cause) {
  return *std::ranges::find(rows, cause, &ProofRow::cause);
}

std::size_t count_to_try(const std::vector<ProofRow>& rows) {
  return static_cast<std::size_t>(std::ranges::count_if(rows, is_to_try));
}

}  // namespace

TEST_CASE("proof record: it has every row of the cause table, in its order", "[report][proof][rule-18]") {
  const Model model = orchard();
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const auto rows = plan_proof(model, {at}, false);
    REQUIRE(rows.size() == cause_table().size());
    for (std::size_t row = 0; row < rows.size(); ++row)
      CHECK(rows[row].cause == cause_table()[row].cause);
  }
}

TEST_CASE("proof record: what concerns the pump is what the matrix says, with the same words",
          "[report][proof][rule-18]") {
  const Model model = orchard();
  const Matrix matrix = matrix_of(model);
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    for (const ProofRow& row : plan_proof(model, {at}, false)) {
      INFO(model.pumps[at].id << ", cause " << to_word(row.cause));
      const auto line = std::ranges::find(matrix.causes, row.cause, &CauseLine::cause);
      const bool in_matrix = line != matrix.causes.end() && line->pumps.at(at);
      CHECK((row.result != ProofResult::not_concerned) == in_matrix);
      if (in_matrix) CHECK(row.expected.starts_with(line->pumps.at(at)->when));
    }
  }
}

TEST_CASE("proof record: what is not forced says why, and hinders no pass", "[report][proof][rule-18]") {
  ProofRecord record{.rows = plan_proof(orchard(), kLift, false)};
  const ProofRow& ended = row_for(record.rows, Cause::hand_ended);
  CHECK(ended.result == ProofResult::not_forced);
  CHECK_FALSE(ended.why.empty());
  CHECK_FALSE(has_passed(record));
  for (ProofRow& row : record.rows)
    if (is_to_try(row)) row.result = ProofResult::passed;
  CHECK(has_passed(record));
  record.rows.front().result = ProofResult::failed;
  CHECK_FALSE(has_passed(record));
}

TEST_CASE("proof record: blocked, what only a run can show is not tried", "[report][proof][rule-18]") {
  const auto rows = plan_proof(orchard(), kLift, true);
  CHECK_FALSE(is_to_try(row_for(rows, Cause::no_feedback)));
  CHECK(row_for(rows, Cause::no_feedback).result == ProofResult::not_tried);
  CHECK(is_to_try(row_for(rows, Cause::source_low)));
}

TEST_CASE("proof record: each run waits for the motor's rest and for its starts of an hour",
          "[report][proof][rule-18]") {
  Model model = orchard();
  const auto rows = plan_proof(model, kLift, false);
  const std::size_t tries = count_to_try(rows);
  REQUIRE(tries > 5);
  PumpLimits& limits = model.pumps[0].limits;
  limits.starts_per_hour = 0;
  const Duration brief = expected_duration(model, kLift, rows, false);
  CHECK(brief >= tries * limits.off_at_least);
  limits.off_at_least += 1min;
  CHECK(expected_duration(model, kLift, rows, false) == brief + tries * 1min);
  limits.off_at_least -= 1min;
  limits.starts_per_hour = 4;
  const auto runs = static_cast<std::size_t>(std::ranges::count_if(rows, [&](const ProofRow& row) {
    return is_to_try(row) && forcing_of(model.pumps[0], row.cause) != Forcing::standing;
  }));
  CHECK(expected_duration(model, kLift, rows, false) >= (runs - 1) / 4 * 1h);
  CHECK(expected_duration(model, kLift, rows, true) < 2min);
}

TEST_CASE("proof record: as JSON it has the date, what was proved, and what was seen and said of every cause",
          "[report][proof][rule-18]") {
  ProofRecord record{.version = "1.2.3",
                     .file = "stillwell.yaml",
                     .checksum = "cafe0123",
                     .site = "orchard",
                     .pump = "lift",
                     .rows = plan_proof(orchard(), kLift, false)};
  auto& low = *std::ranges::find(record.rows, Cause::source_low, &ProofRow::cause);
  low.result = ProofResult::passed;
  low.took = 1500ms;
  low.seen = "tripped";
  low.said = "dropped out";
  const auto json = nlohmann::json::parse(to_json(record));
  CHECK(json["at"] == "1970-01-01T00:00:00.000Z");
  CHECK(json["crc_32"] == "cafe0123");
  CHECK(json["pump"] == "lift");
  CHECK(json["passed"] == false);
  REQUIRE(json["causes"].size() == cause_table().size());
  const auto& one = json["causes"][static_cast<std::size_t>(Cause::source_low)];
  CHECK(one["cause"] == "source-low");
  CHECK(one["result"] == "passed");
  CHECK(one["took_s"] == 1.5);
  CHECK(one["contactor"] == "dropped out");
  CHECK(to_text(low) == "source-low: passed in 1.5 s; tripped; contactor: dropped out");
}
