// Tanks that are kept by floats alone, and the switches of which a broken wire must not mean that all is
// well.
#include "stillwell/config/build.hpp"

namespace stillwell::config {
namespace {

/// The duty of the pumps that keep the tank; told when there is none, or when they contradict each other.
std::optional<Duty> duty_at(Build& build, const Checked& tank) {
  std::optional<Duty> found;
  for (const Checked& pump : build.root.named("pumps")) {
    const auto duty = pump.get<std::string>("duty");
    if (pump.get<std::string>("tank") != tank.id || !duty) continue;
    const Duty its_duty = *duty == "drain" ? Duty::drain : Duty::fill;
    if (found && *found != its_duty) {
      build.tell(pump.at("duty"),
                 "another pump of tank '" + tank.id +
                     "' does the contrary, and floats start and stop one way alone; give that "
                     "tank a gauge");
      return {};
    }
    found = its_duty;
  }
  if (!found) build.tell(tank.at("floats"), "no pump is kept by them; expected a pump with tank: " + tank.id);
  return found;
}

/// A float that stands for two heights would tell neither.
bool are_apart(Build& build, const Checked& floats) {
  const auto start = floats.get<std::string>("start");
  const auto stop = floats.get<std::string>("stop");
  const auto high = floats.get<std::string>("high");
  const std::string_view twice = stop && stop == start                     ? "stop"
                                 : high && (high == start || high == stop) ? "high"
                                                                           : "";
  if (!twice.empty()) build.tell(floats.at(twice), "names a float that stands there already");
  return twice.empty();
}

}  // namespace

std::optional<SwitchIndex> switch_at(Build& build, const Checked& section, std::string_view key,
                                     bool broken_is_on, std::string_view what) {
  const auto position = build.refer(section, key, "switches");
  if (!position) return {};
  const Switch& input = build.out.model.switches.at(*position);
  if (input.rules.broken_is_on != broken_is_on) {
    const std::string wanted = broken_is_on ? "on" : "off";
    const std::string found = broken_is_on ? "off" : "on";
    const std::string how = input.rules.broken_is_on
                                ? "says broken: " + found + ", so that a broken wire would mean all is well"
                                : "does not declare what a broken wire looks like";
    build.tell(section.at(key),
               "switch '" + input.id + "' " + how + "; " + std::string(what) + " needs broken: " + wanted);
  }
  return SwitchIndex{*position};
}

std::optional<TankFloats> build_floats(Build& build, const Checked& tank) {
  const Checked* section = tank.part("floats");
  if (section == nullptr) return {};
  const auto duty = duty_at(build, tank);
  const auto start = build.refer(*section, "start", "switches");
  if (!duty || !start || !are_apart(build, *section)) return {};
  const bool fills = *duty == Duty::fill;
  // Rule 7: what stops the pump must stop it with a broken wire too. What starts it may look either way: the
  // other float stops it, and the next time they contradict each other.
  const auto stop = switch_at(build, *section, "stop", fills, "what stops a pump");
  const auto high = switch_at(build, *section, "high", true, "an alarm and a trip");
  if (!stop) return {};
  const SwitchIndex starts{*start};
  return TankFloats{.lower = fills ? starts : *stop, .upper = fills ? *stop : starts, .high = high};
}

}  // namespace stillwell::config
