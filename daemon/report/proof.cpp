#include "stillwell/report/proof.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/matrix.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

std::string expected_of(const Pump& pump, const CauseRow& row, const std::string& when) {
  return when + ": " + std::string(effect_word(row.verdict)) + " within " +
         stillwell::to_text(reaction_of(pump, row.cause) + pump.contact_within);
}

ProofRow plan_row(const Pump& pump, const CauseRow& row, const std::optional<PumpEffect>& effect,
                  bool blocked) {
  ProofRow plan{.cause = row.cause};
  if (!effect) {
    plan.result = ProofResult::not_concerned;
    return plan;
  }
  plan.expected = expected_of(pump, row, effect->when);
  if (forcing_of(pump, row.cause) == Forcing::none) {
    plan.result = ProofResult::not_forced;
    plan.why = why_not_forced(pump, row.cause);
  } else if (blocked && !is_found_while_standing(row.cause)) {
    plan.why = "it is found while the pump runs only";
  }
  return plan;
}

/// What a motor and its water get to show themselves after a start; the tests of what is lost wait for it.
Duration settling_of(const Pump& pump) {
  Duration time = pump.contact_within;
  if (pump.feedback) time = std::max(time, pump.feedback->within);
  if (pump.dry_run.flow) time = std::max(time, pump.dry_run.flow->within);
  if (pump.dry_run.power) time = std::max(time, pump.dry_run.power->lasts);
  return time;
}

/// Those are lost first, and need no motor that follows.
bool reads_a_float(const Pump& pump) {
  return pump.float_trip || pump.source_float || pump.selector.off || pump.selector.hand;
}

/// By what shows the motor at work; the same order as the force.
Duration unasked_after(const Pump& pump) {
  if (pump.feedback) return pump.feedback->within;
  if (pump.dry_run.power) return pump.dry_run.power->lasts;
  return pump.dry_run.flow ? pump.dry_run.flow->within : Duration{0};
}

}  // namespace

std::string_view to_word(ProofResult result) {
  switch (result) {
    case ProofResult::passed: return "passed";
    case ProofResult::failed: return "failed";
    case ProofResult::not_tried: return "not tried";
    case ProofResult::not_forced: return "not forced";
    case ProofResult::not_concerned: return "does not concern this pump";
  }
  return "failed";
}

std::vector<ProofRow> plan_proof(const Model& model, PumpIndex index, bool blocked) {
  const Pump& pump = model.pumps.at(index.at);
  const Matrix matrix = matrix_of(model);
  std::vector<ProofRow> rows;
  for (const CauseRow& row : cause_table()) {
    const auto line =
        std::ranges::find_if(matrix.causes, [&](const CauseLine& one) { return one.cause == row.cause; });
    const bool known = line != matrix.causes.end();
    rows.push_back(plan_row(pump, row, known ? line->pumps.at(index.at) : std::nullopt, blocked));
  }
  return rows;
}

bool is_to_try(const ProofRow& row) {
  return row.result == ProofResult::not_tried && row.why.empty();
}

Duration reaction_of(const Pump& pump, Cause cause) {
  switch (cause) {
    case Cause::stuck_on: return settling_of(pump) + unasked_after(pump);
    case Cause::contact_unreachable: return settling_of(pump) + pump.contact_within;
    case Cause::switch_unknown: return reads_a_float(pump) ? Duration{0} : settling_of(pump);
    case Cause::meter_unknown: return settling_of(pump);
    case Cause::no_feedback: return pump.feedback ? pump.feedback->within : Duration{0};
    case Cause::no_flow: return pump.dry_run.flow ? pump.dry_run.flow->within : Duration{0};
    case Cause::no_power: return pump.dry_run.power ? pump.dry_run.power->lasts : Duration{0};
    default: return Duration{0};
  }
}

Duration expected_duration(const Model& model, PumpIndex index, const std::vector<ProofRow>& rows,
                           bool blocked) {
  const Pump& pump = model.pumps.at(index.at);
  const auto most = static_cast<std::size_t>(pump.limits.starts_per_hour);
  Duration at{0};
  std::vector<Duration> starts;
  for (const ProofRow& row : rows) {
    if (!is_to_try(row)) continue;
    const Duration reaction = reaction_of(pump, row.cause) + model.scan;
    if (blocked) {
      at += reaction;
      continue;
    }
    at += pump.limits.off_at_least;
    if (forcing_of(pump, row.cause) != Forcing::standing) {
      if (most > 0 && starts.size() >= most) at = std::max(at, starts[starts.size() - most] + kHour);
      starts.push_back(at);
      at += settling_of(pump);
    }
    at += reaction + pump.contact_within;
  }
  return at;
}

bool has_passed(const ProofRecord& record) {
  return std::ranges::none_of(record.rows, [](const ProofRow& row) {
    return row.result == ProofResult::failed || row.result == ProofResult::not_tried;
  });
}

std::string to_text(const ProofRow& row) {
  std::string text = std::string(to_word(row.cause)) + ": " + std::string(to_word(row.result));
  if (row.took) text += " in " + stillwell::to_text(*row.took);
  for (const std::string& part : {row.seen, row.why})
    if (!part.empty()) text += "; " + part;
  if (!row.said.empty()) text += "; contactor: " + row.said;
  return text;
}

std::string to_json(const ProofRecord& record) {
  Json json{{"at", stillwell::to_text(record.at)}, {"program", record.version},    {"site", record.site},
            {"configuration", record.file},        {"crc_32", record.checksum},    {"pump", record.pump},
            {"blocked", record.blocked},           {"passed", has_passed(record)}, {"causes", Json::array()}};
  for (const ProofRow& row : record.rows) {
    Json one{{"cause", to_word(row.cause)}, {"result", to_word(row.result)}};
    if (!row.expected.empty()) one["expected"] = row.expected;
    if (!row.seen.empty()) one["seen"] = row.seen;
    if (row.took) one["took_s"] = seconds_of(*row.took);
    if (!row.said.empty()) one["contactor"] = row.said;
    if (!row.why.empty()) one["why"] = row.why;
    json["causes"].push_back(std::move(one));
  }
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace stillwell::report
