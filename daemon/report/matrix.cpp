#include "stillwell/report/matrix.hpp"

#include "stillwell/config/reaction.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/report/limits.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

/// What waits for the minimum run says so, since nothing happens before.
std::string after_minimum_run(const Pump& pump, const CauseRow& row) {
  if (!row.waits_for_minimum_run || pump.limits.on_at_least == Duration{0}) return {};
  return ", after " + to_text(pump.limits.on_at_least) + " of running at the soonest";
}

const PumpSet* set_of(const Model& model, const Pump& pump) {
  const PumpIndex index{static_cast<std::size_t>(&pump - model.pumps.data())};
  const auto at = stillwell::set_of(model.sets, index);
  return at ? &model.sets[*at] : nullptr;
}

/// One on the same suction that can be found dry.
bool has_peer(const Model& model, const Pump& pump) {
  return std::ranges::any_of(model.pumps, [&](const Pump& other) {
    const bool is_guarded = other.dry_run.flow || other.dry_run.power || other.dry_run.rise;
    return &other != &pump && is_guarded && suction_of(other) == suction_of(pump);
  });
}

/// Whether the site has what a cause needs besides the pump.
bool can_come_up(const Model& model, const Pump& pump, Cause cause) {
  if (cause == Cause::peer_dry && !has_peer(model, pump)) return false;
  const bool is_kept_apart =
      model.stagger > Duration{0} ? model.pumps.size() > 1 : set_of(model, pump) != nullptr;
  if (cause == Cause::stagger && !is_kept_apart) return false;
  return concerns(cause, pump);
}

/// What becomes of its turn, where it shares its duty.
std::string turn_text(const Model& model, const Pump& pump, const CauseRow& row) {
  const PumpSet* set = set_of(model, pump);
  if (set == nullptr || row.turn == Turn::keeps) return {};
  return "; the next of " + set->id + (row.turn == Turn::passes_on ? " takes over" : " goes first meanwhile");
}

std::optional<PumpEffect> effect_on(const Model& model, const Pump& pump, const CauseRow& row) {
  if (!can_come_up(model, pump, row.cause)) return std::nullopt;
  return PumpEffect{row.verdict, limit_of(model, pump, row.cause) + after_minimum_run(pump, row) +
                                     turn_text(model, pump, row)};
}

CauseLine line_of(const Model& model, const CauseRow& row) {
  CauseLine line{.cause = row.cause, .pumps = {}};
  for (const Pump& pump : model.pumps)
    line.pumps.push_back(effect_on(model, pump, row));
  return line;
}

AlarmLine line_of(const Model& model, const Alarm& alarm) {
  AlarmLine line{
      .alarm = alarm, .when = raised_by(model, alarm), .until = ended_by(model, alarm), .sounds = {}};
  for (const Annunciator& annunciator : model.annunciators)
    line.sounds.push_back(sounds_for(annunciator, alarm.priority));
  return line;
}

}  // namespace

Matrix matrix_of(const Model& model) {
  Matrix matrix;
  for (const Pump& pump : model.pumps)
    matrix.pumps.push_back(pump.id);
  for (const Annunciator& annunciator : model.annunciators)
    matrix.annunciators.push_back(annunciator.id);
  for (const CauseRow& row : cause_table()) {
    if (model.pumps.empty()) break;
    matrix.causes.push_back(line_of(model, row));
  }
  for (const Alarm& alarm : model.alarms)
    matrix.alarms.push_back(line_of(model, alarm));
  return matrix;
}

std::vector<ReactionLine> reactions_of(const Model& model, const config::Wiring& wiring) {
  std::vector<ReactionLine> lines;
  for (const Pump& pump : model.pumps) {
    ReactionLine line{
        .pump = pump.id, .contact = model.contacts.at(pump.contact.at).id, .healthy = {}, .silent = {}};
    if (const auto reaction = config::reaction_of(wiring, pump.contact)) {
      line.healthy = reaction->healthy;
      line.silent = reaction->silent;
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string_view effect_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::permit: return "ignored";
    case Verdict::hold_start: return "holds start";
    case Verdict::stop: return "stops";
    case Verdict::trip: return "trips";
    case Verdict::lock_out: return "locks out";
  }
  return "locks out";
}

}  // namespace stillwell::report
