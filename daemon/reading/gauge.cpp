#include "stillwell/reading/gauge.hpp"

#include <cmath>

namespace stillwell {
namespace {

/// One reading, with all that its judges need.
struct Case {
  const GaugeRules& rules;
  const Mounting& mounting;
  const WaterMotion& water;
  Corrected corrected;
  Seen seen;
};

/// Every comparison is written so that a number that is none loses.
bool within(Metres value, Metres from, Metres to) {
  return value >= from && value <= to;
}

/// Ages the last accepted reading.
void refuse(GaugeMemory& memory, Reason reason) {
  memory.fault = reason;
  memory.good_in_row = 0;
}

/// The sensor itself is wrong: what it said before counts no more either.
void distrust(GaugeMemory& memory, Reason reason) {
  refuse(memory, reason);
  memory.trusted = false;
}

/// Whether the water may have come into the blind zone since it was last seen. There a sensor loses the echo
/// or takes the second one, and shows a tank that is about to overflow as half empty. Common practice, no
/// source.
bool may_have_come_too_near(const GaugeMemory& memory, Metres shown, const GaugeRules& rules,
                            const Mounting& mounting, const WaterMotion& water) {
  if (rules.measures != Measures::distance || !(rules.blanking > Metres{0.0})) return false;
  if (!memory.accepted || !(shown < *memory.accepted)) return false;
  const MetresPerSecond rise = water.fastest ? water.fastest->rise : MetresPerSecond{0.0};
  const Metres risen{rise.value() * seconds_of(rules.stale_after)};
  const Metres edge = mounting.to_floor - rules.blanking;
  return *memory.accepted + risen + memory.doubt + rules.settle.noise >= edge;
}

/// A correction that comes or goes moves the level, and the water did not move.
bool is_corrected_anew(const GaugeMemory& memory, const Case& it) {
  return it.corrected.is_known != memory.is_corrected;
}

/// The window is kept also where no spikes are looked for: its median is what a frozen gauge is told by.
bool is_spike(GaugeMemory& memory, const Case& it) {
  const Settle& settle = it.rules.settle;
  if (!memory.spikes) memory.spikes.emplace(settle.window(), settle.spike_floor);
  const bool paused = memory.shown && it.seen.at - memory.shown->at > it.rules.stale_after;
  if (paused || is_corrected_anew(memory, it)) memory.spikes->forget();
  const Hampel::Verdict verdict = memory.spikes->judge(it.seen.level);
  memory.median = verdict.median;
  return settle.spikes > 0 && verdict.spike;
}

/// What a run of readings after a fault must keep to besides: each is reachable from the one before.
/// Otherwise a lone false echo, seen first after hours of silence, would be the level that the true one is
/// held against.
void hold_together(GaugeMemory& memory, const Case& it, Metres tolerance) {
  if (memory.good_in_row > 0 && follow(memory.run, it.seen, *it.water.fastest, tolerance) == Reason::none)
    return;
  memory.good_in_row = 0;
  confirm(memory.run, it.seen);
}

/// What is refused may be a plateau.
void stand_together(GaugeMemory& memory, const Case& it, Metres tolerance) {
  const bool first = memory.refused_in_row == 0;
  if (!first && follow(memory.run, it.seen, *it.water.fastest, tolerance) == Reason::none) {
    if (memory.refused_in_row < it.rules.recover_after) ++memory.refused_in_row;
    return;
  }
  memory.refused_in_row = 1;
  confirm(memory.run, it.seen);
}

/// A spike is the jump of a reading or two; only what stays is held against the water's motion.
bool is_jump(GaugeMemory& memory, const Case& it) {
  if (is_spike(memory, it)) {
    memory.refused_in_row = 0;
    return true;
  }
  if (!it.water.fastest) return false;
  const Metres moved = is_corrected_anew(memory, it) ? memory.doubt + it.corrected.uncertainty : Metres{0.0};
  const Metres tolerance = it.rules.settle.noise * 2.0 + moved;
  if (judge(memory.motion, it.seen, *it.water.fastest, tolerance) == Reason::jump) {
    stand_together(memory, it, tolerance);
    return true;
  }
  memory.refused_in_row = 0;
  if (!memory.trusted) hold_together(memory, it, tolerance);
  return false;
}

/// The median is held against the water: a stuck echo jitters, and the range of single readings grows with
/// their number until it looks like movement. It follows the water with a lag, and a gauge that hangs above
/// the floor sees nothing until the water comes there.
bool is_frozen(GaugeMemory& memory, const Case& it) {
  const Settle& settle = it.rules.settle;
  if (!(settle.frozen_after > Metres{0.0})) return false;
  const Metres still{settle.noise * 2.0};
  const Metres lag{std::abs(it.water.at_least.value()) * seconds_of(settle.lag)};
  const bool sees_water = memory.median > it.mounting.lowest + still;
  const Metres unseen = sees_water ? Metres{0.0} : it.mounting.lowest;
  const FrozenRules rules{.still_within = still, .must_move = settle.frozen_after + lag + unseen};
  return follow(memory.frozen, {memory.median, it.seen.at}, it.water.at_least, rules) == Reason::frozen;
}

bool is_noisy(GaugeMemory& memory, const Case& it) {
  if (!(it.rules.settle.noise > Metres{0.0})) return false;
  if (!memory.noise) memory.noise.emplace(it.rules.stale_after);
  memory.noise->add(it.seen);
  return memory.noise->judge(it.rules.settle.noise) == Reason::noisy;
}

/// What the readings before it say of a level that by itself is possible.
void compare(GaugeMemory& memory, const Case& it) {
  memory.jumped = is_jump(memory, it);
  memory.shown = it.seen;
  if (memory.jumped) {
    const bool near = may_have_come_too_near(memory, it.seen.level, it.rules, it.mounting, it.water);
    return refuse(memory, near ? Reason::blanking : Reason::jump);
  }
  if (is_frozen(memory, it)) return distrust(memory, Reason::frozen);
  if (is_noisy(memory, it)) return distrust(memory, Reason::noisy);

  memory.fault = Reason::none;
  if (memory.good_in_row < it.rules.recover_after) ++memory.good_in_row;
  memory.trusted = memory.trusted || memory.good_in_row >= it.rules.recover_after;
  if (!memory.trusted) return;
  confirm(memory.motion, it.seen);
  memory.accepted = it.seen.level;
  memory.accepted_at = it.seen.at;
  memory.doubt = it.corrected.uncertainty;
  memory.is_corrected = it.corrected.is_known;
}

void take(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules, const Mounting& mounting,
          const WaterMotion& water) {
  memory.newest = sample.at;
  memory.jumped = false;
  remember(memory.companions, sample, rules.correction);
  if (!sample.value) return refuse(memory, sample.fault);
  const auto correct = rules.measures == Measures::distance ? corrected_distance : corrected_depth;
  const Corrected corrected = correct(*sample.value, rules.correction, memory.companions, sample.at);
  const Seen seen{to_level(corrected.value, rules, mounting), sample.at};
  const Reason reason = judge(*sample.value, corrected.value, rules, mounting);
  if (reason != Reason::none) {
    const bool near = may_have_come_too_near(memory, seen.level, rules, mounting, water);
    return distrust(memory, near ? Reason::blanking : reason);
  }
  compare(memory, {rules, mounting, water, corrected, seen});
}

/// Doubt that is smaller than the water's own ripples is no news.
Level worth(const GaugeMemory& memory, const GaugeRules& rules, Instant at) {
  const bool in_doubt = !memory.is_corrected && memory.doubt > rules.settle.noise;
  return {.level = memory.accepted,
          .uncertainty = memory.doubt,
          .quality = in_doubt ? Quality::uncertain : Quality::good,
          .reason = in_doubt ? Reason::uncorrected : Reason::none,
          .at = at};
}

}  // namespace

Metres to_level(Metres value, const GaugeRules& rules, const Mounting& mounting) {
  switch (rules.measures) {
    case Measures::distance: return mounting.to_floor - value;
    case Measures::depth: return value - mounting.to_floor;
  }
  return Metres{std::nan("")};
}

Reason judge(Metres reported, Metres corrected, const GaugeRules& rules, const Mounting& mounting) {
  if (rules.measures == Measures::distance && !(reported >= rules.blanking)) return Reason::blanking;
  if (rules.reach && !(reported <= *rules.reach)) return Reason::beyond_reach;
  const Metres level = to_level(corrected, rules, mounting);
  if (!within(level, -mounting.margin, mounting.full + mounting.margin)) return Reason::outside_span;
  return Reason::none;
}

Level follow(GaugeMemory& memory, const GaugeSample& sample, const GaugeRules& rules,
             const Mounting& mounting, const WaterMotion& water, Instant now) {
  if (water.fastest) let_move(memory.motion, now, *water.fastest);
  const bool is_new = sample.fault != Reason::starting && (!memory.newest || sample.at > *memory.newest);
  if (is_new) take(memory, sample, rules, mounting, water);

  const Instant at = memory.accepted_at.value_or(Instant{});
  if (memory.trusted && now - at > rules.stale_after) {
    memory.trusted = false;
    memory.good_in_row = 0;
  }
  if (memory.trusted) return worth(memory, rules, at);
  if (memory.fault != Reason::none) return Level::bad(memory.fault, at);
  return Level::bad(memory.good_in_row > 0 ? Reason::starting : Reason::stale, at);
}

bool has_jumped(const GaugeMemory& memory) {
  return memory.jumped && !memory.trusted && memory.motion.accepted;
}

bool waits_for_confirmation(const GaugeMemory& memory) {
  return has_jumped(memory) || memory.fault == Reason::frozen;
}

std::optional<Metres> plateau(const GaugeMemory& memory, const GaugeRules& rules) {
  if (!has_jumped(memory) || memory.refused_in_row < rules.recover_after) return {};
  return memory.shown->level;
}

void confirm(GaugeMemory& memory) {
  if (!waits_for_confirmation(memory)) return;
  confirm(memory.motion, *memory.shown);
  memory.frozen = {};
  memory.jumped = false;
  memory.refused_in_row = 0;
  memory.fault = Reason::starting;
}

}  // namespace stillwell
