#include "stillwell/reading/gauge.hpp"

#include <cmath>

namespace stillwell {
namespace {

/// Every comparison is written so that a number that is none loses.
bool within(Metres value, Metres from, Metres to) {
  return value >= from && value <= to;
}

void refuse(GaugeMemory& memory, Reason reason) {
  memory.fault = reason;
  memory.good_in_row = 0;
}

void accept(GaugeMemory& memory, const GaugeRules& rules, Metres level, Instant at) {
  memory.fault = Reason::none;
  if (memory.good_in_row < rules.recover_after) ++memory.good_in_row;
  memory.trusted = memory.trusted || memory.good_in_row >= rules.recover_after;
  if (!memory.trusted) return;
  memory.accepted = level;
  memory.accepted_at = at;
}

/// A reading that came and is wrong speaks against the gauge at once; one that did not come only ages the
/// last.
void take(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules, const Mounting& mounting) {
  memory.newest = sample.at;
  if (!sample.value) return refuse(memory, sample.fault);
  const Reason reason = judge(*sample.value, rules, mounting);
  if (reason != Reason::none) {
    memory.trusted = false;
    return refuse(memory, reason);
  }
  accept(memory, rules, to_level(*sample.value, rules, mounting), sample.at);
}

}  // namespace

Metres to_level(Metres value, const GaugeRules& rules, const Mounting& mounting) {
  switch (rules.measures) {
    case Measures::distance: return mounting.to_floor - value;
    case Measures::depth: return value - mounting.to_floor;
  }
  return Metres{std::nan("")};
}

Reason judge(Metres value, const GaugeRules& rules, const Mounting& mounting) {
  if (rules.measures == Measures::distance && !(value >= rules.blanking)) return Reason::blanking;
  if (rules.reach && !(value <= *rules.reach)) return Reason::beyond_reach;
  const Metres level = to_level(value, rules, mounting);
  if (!within(level, -mounting.margin, mounting.full + mounting.margin)) return Reason::outside_span;
  return Reason::none;
}

Level follow(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules,
             const Mounting& mounting, Instant now) {
  const bool is_new = sample.fault != Reason::starting && (!memory.newest || sample.at > *memory.newest);
  if (is_new) take(memory, sample, rules, mounting);

  const Instant at = memory.accepted_at.value_or(Instant{});
  if (memory.trusted && now - at > rules.stale_after) {
    memory.trusted = false;
    memory.good_in_row = 0;
  }
  if (memory.trusted) {
    return {.level = memory.accepted, .quality = Quality::good, .reason = Reason::none, .at = at};
  }
  if (memory.fault != Reason::none) return Level::bad(memory.fault, at);
  return Level::bad(memory.good_in_row > 0 ? Reason::starting : Reason::stale, at);
}

}  // namespace stillwell
