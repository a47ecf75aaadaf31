#include "stillwell/config/motor_load.hpp"
#include "stillwell/config/pump_build.hpp"
#include "stillwell/reading/load_unit.hpp"

namespace stillwell::config {
namespace {

constexpr double kSourceClearOfSpan =
    0.10;  // common practice, no source: several times what waves and noise move

void take_source_levels(PumpBuild& it, const Checked& guard) {
  if (!it.pump.source || !it.pump.source_is_measured) return;
  const Tank& source = it.tank(*it.pump.source);
  const auto below = level_at(it.build, guard, "source_below", *it.pump.source);
  if (!below) return;
  it.pump.source_below = below;
  it.pump.source_clear = guard.has("source_clear")
                             ? level_at(it.build, guard, "source_clear", *it.pump.source)
                             : *below + source.full() * kSourceClearOfSpan;
  if (!it.pump.source_clear) return;
  if (*it.pump.source_clear <= *below) {
    it.build.tell(guard.at("source_clear"),
                  "out of order: expected above source_below (" + to_text(*below) + ")");
  } else if (*it.pump.source_clear > source.full()) {
    it.build.tell(guard.at("source_below"), "leaves no room for source_clear below the full line (" +
                                                to_text(source.full()) + "); give source_clear");
  }
  if (!it.is_fill() && it.pump.start_level > Metres{0.0} && *below > it.pump.stop_level) {
    it.build.tell(guard.at("source_below"), "out of order: the pump would trip before it reaches stop_at (" +
                                                to_text(it.pump.stop_level) + ")");
  }
}

void take_flow(PumpBuild& it, const Checked& section) {
  const auto input = take_switch(it, section, "switch", false);
  const auto within = section.get<Duration>("within");
  if (!input || !within) return;
  it.pump.dry_run.flow = FlowGuard{*input, *within};
  rely_on(it, *input, section, "within");
}

std::optional<Load> load_at(const Checked& section, std::string_view key) {
  if (const auto power = section.get<Watts>(key)) return Load{*power};
  if (const auto current = section.get<Amperes>(key)) return Load{*current};
  return {};
}

/// Compared with what the meter shows, so in the same unit. Below nothing nothing is ever read.
void take_power(PumpBuild& it, const Checked& section) {
  const auto position = it.build.refer(section, "meter", "meters");
  const auto written = load_at(section, "below");
  const auto lasts = section.get<Duration>("for");
  if (!position || !written || !lasts) return;
  const auto shown = load_kind_of(it.build.root.named("meters")[*position]);
  if (!shown) return;  // what is wrong with the meter is told there
  const auto below = load_for(*shown, *written);
  if (!below) return it.build.tell(section.at("below"), below.error());
  if (*below <= MotorLoad{0.0}) {
    return it.build.tell(section.at("below"),
                         "no motor takes less than nothing, so this could never trip; "
                         "expected more than 0 " +
                             std::string(unit_of(*shown)));
  }
  it.pump.dry_run.power = PowerGuard{{*position}, *below, *lasts};
  rely_on(it, MeterIndex{*position}, section, "for");
}

std::optional<RiseGuard> movement_in(const Checked& section) {
  const auto at_least = section.get<MetresPerSecond>("at_least");
  const auto within = section.get<Duration>("within");
  if (!at_least || !within) return {};
  return RiseGuard{*at_least, *within};
}

void take_retry(PumpBuild& it, const Checked& section) {
  it.pump.dry_run.retry = {.after = value_or<Duration>(section, "after"),
                           .times = static_cast<int>(value_or<std::int64_t>(section, "times")),
                           .proved_by = value_or<Duration>(section, "proved_by")};
}

/// A tank that is kept by floats has no level that a guard could watch.
void refuse_levels(PumpBuild& it, const Checked& guard) {
  const std::string why = " is kept by floats, and nobody knows its level; ";
  const auto refuse = [&](std::string_view key, TankIndex tank, const std::string& remedy) {
    if (guard.has(key)) it.build.tell(guard.at(key), "tank '" + it.tank(tank).id + "'" + why + remedy);
  };
  if (!it.pump.source_is_measured && it.pump.source)
    refuse("source_below", *it.pump.source,
           it.is_fill() ? "hang a float there and give it as source_float"
                        : "floats.stop of the tank stops the pump, and a source_float may guard it too");
  if (it.is_by_floats(it.pump.tank)) refuse("rise", it.pump.tank, "use dry_run.flow instead");
}

/// The floats of a suction stop the pump that empties it, and nobody else's: who draws from it too needs a
/// guard of its own.
void expect_float_guard(PumpBuild& it, bool sees_at_once) {
  if (!it.is_fill() || it.section.has("source_float") || sees_at_once) return;
  it.build.tell(it.section.at("from"), "tank '" + it.tank(*it.pump.source).id +
                                           "' is kept by floats, and no level shows that it runs dry; give "
                                           "source_float, dry_run.flow or dry_run.power");
}

/// Rule 8: what guards it must see a dry run at once; whether the tank follows shows late.
void expect_guard(PumpBuild& it, const Checked* guard) {
  const bool unwatched = it.section.get<std::string>("from") == "unwatched";
  const bool sees_at_once = guard != nullptr && (guard->has("flow") || guard->has("power"));
  const bool by_floats = it.pump.source && !it.pump.source_is_measured;
  if (by_floats) return expect_float_guard(it, sees_at_once);
  if (guard != nullptr && unwatched && guard->has("source_below"))
    it.build.tell(guard->at("source_below"), "has no meaning together with from: unwatched");
  if (unwatched && !it.section.has("source_float") && !sees_at_once) {
    it.build.tell(it.section.spot,
                  "nothing would see that it runs dry; from: unwatched needs source_float, dry_run.flow or "
                  "dry_run.power");
  } else if (guard != nullptr && !unwatched && !sees_at_once && !guard->has("source_below")) {
    it.build.tell(guard->spot, "guards too little; expected source_below, flow or power" +
                                   std::string(guard->has("rise") ? ", since rise shows late" : ""));
  }
}

/// Less than this is waves and a gauge's noise. Common practice, no source.
constexpr Metres kLeastMovement{0.01};

}  // namespace

void take_unasked(PumpBuild& it) {
  const Checked* section = it.section.part("unasked");
  if (section == nullptr) return;
  if (it.is_by_floats(it.pump.tank)) {
    return it.build.tell(section->spot,
                         "tank '" + it.tank(it.pump.tank).id +
                             "' is kept by floats, and nobody sees its level move; leave it out");
  }
  it.pump.unasked = movement_in(*section);
  if (!it.pump.unasked) return;
  rely_on_gauges(it, *section);
  const Metres step = step_of(*it.pump.unasked);
  const auto& gauges = it.tank(it.pump.tank);
  if (gauges.gauges.size() > 1 && step <= gauges.combine.disagree) {
    it.build.tell(section->at("within"),
                  "comes to " + to_text(step) + " at that rate, and the gauges of tank '" + gauges.id +
                      "' may differ by " + to_text(gauges.combine.disagree) +
                      " (disagree): losing one would look like a movement; expected more");
  }
  if (step >= kLeastMovement) return;
  it.build.tell(section->at("within"), "comes to " + to_text(step) +
                                           " at that rate, which waves move too; "
                                           "expected so long that the level moves by " +
                                           to_text(kLeastMovement) + " or more");
}

void take_dry_run(PumpBuild& it) {
  const Checked* guard = it.section.part("dry_run");
  expect_guard(it, guard);
  if (guard == nullptr) return;
  refuse_levels(it, *guard);
  take_source_levels(it, *guard);
  if (const Checked* flow = guard->part("flow")) take_flow(it, *flow);
  if (const Checked* power = guard->part("power")) take_power(it, *power);
  if (const Checked* rise = guard->part("rise")) {
    it.pump.dry_run.rise = movement_in(*rise);
    rely_on_gauges(it, *rise);
  }
  if (const Checked* retry = guard->part("retry")) take_retry(it, *retry);
}

}  // namespace stillwell::config
