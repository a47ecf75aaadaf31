#include "stillwell/report/properties.hpp"

#include "stillwell/quantity/units.hpp"

#include <array>
#include <chrono>
#include <cmath>

namespace stillwell::report {
namespace {

using Value = std::optional<std::string>;

/// Sources say it so often that a silent connection is noticed (report/mqtt.hpp), and no oftener.
constexpr auto kUptimeStep = std::chrono::seconds{30};

// How finely values are published. A sensor's noise below this is nobody's news.
constexpr int kLevelDecimals = 3;
constexpr int kPercentDecimals = 1;
constexpr double kWholeLitresFrom = 1000.0;
constexpr int kHoursDecimals = 2;

Value number(double value, int decimals) {
  // Homie has no NaN, and an invented number would be a lie.
  if (!std::isfinite(value)) return {};
  return fixed(value, decimals);
}

Value litres(const TankView& tank, Litres Contents::*which) {
  if (!tank.contents) return {};
  const auto value = (*tank.contents).*which;
  return number(value.value(), tank.contents->volume.value() >= kWholeLitresFrom ? 0 : 1);
}

Value yes_no(bool value) {
  return value ? "true" : "false";
}

/// The words of an enumeration from its first to its last, as Homie wants them.
template <class Enum>
std::string words(Enum last) {
  std::string list;
  for (int i = 0; i <= static_cast<int>(last); ++i) {
    list += (list.empty() ? "" : ",") + std::string{to_word(static_cast<Enum>(i))};
  }
  return list;
}

Value joined(const std::vector<Cause>& causes) {
  std::string list;
  for (const auto cause : causes)
    list += (list.empty() ? "" : ",") + std::string{to_word(cause)};
  return list.empty() ? "none" : list;
}

}  // namespace

std::string_view to_word(Datatype datatype) {
  switch (datatype) {
    case Datatype::integer: return "integer";
    case Datatype::floating: return "float";
    case Datatype::boolean: return "boolean";
    case Datatype::enumeration: return "enum";
    case Datatype::string: return "string";
  }
  return "string";
}

const Node<TankView>& water_node() {
  using Tank = const TankView&;
  static const std::array<Property<TankView>, 7> rows{{
      {"level", "Level", Datatype::floating, "m", "",
       [](Tank t) { return t.contents ? number(t.contents->level.value(), kLevelDecimals) : Value{}; }},
      {"percent", "Filled", Datatype::floating, "%", "",
       [](Tank t) { return t.contents ? number(t.contents->percent.value(), kPercentDecimals) : Value{}; }},
      {"volume", "Volume", Datatype::floating, "L", "", [](Tank t) { return litres(t, &Contents::volume); }},
      {"usable", "Usable volume", Datatype::floating, "L", "",
       [](Tank t) { return litres(t, &Contents::usable); }},
      {"ullage", "Room left", Datatype::floating, "L", "",
       [](Tank t) { return litres(t, &Contents::ullage); }},
      {"quality", "Quality of the level", Datatype::enumeration, "", words(Quality::bad),
       [](Tank t) { return Value{to_word(t.level.quality)}; }},
      {"reason", "Why it is not good", Datatype::enumeration, "", words(Reason::starting),
       [](Tank t) { return Value{to_word(t.level.reason)}; }},
  }};
  static const Node<TankView> node{"water", "Water", rows};
  return node;
}

const Node<PumpView>& pump_node() {
  using Pump = const PumpView&;
  static const std::array<Property<PumpView>, 7> rows{{
      {"state", "State", Datatype::enumeration, "", words(PumpState::locked_out),
       [](Pump p) { return Value{to_word(p.state)}; }},
      {"running", "Contact confirmed on", Datatype::boolean, "", "",
       // What is confirmed, not what was ordered; while unknown the last value stays.
       [](Pump p) { return p.contact ? yes_no(*p.contact) : Value{}; }},
      {"mode", "Mode", Datatype::enumeration, "", words(Mode::off),
       [](Pump p) { return Value{to_word(p.mode)}; }},
      {"held-by", "Held by", Datatype::string, "", "", [](Pump p) { return joined(p.held_by); }},
      {"first-out", "First cause of the last trip", Datatype::string, "", "",
       [](Pump p) { return p.first_out ? Value{to_word(*p.first_out)} : Value{"none"}; }},
      {"run-hours", "Run hours", Datatype::floating, "h", "",
       [](Pump p) { return number(seconds_of(p.run_time) / 3600.0, kHoursDecimals); }},
      {"starts", "Starts", Datatype::integer, "", "",
       [](Pump p) { return Value{std::to_string(p.start_count)}; }},
  }};
  static const Node<PumpView> node{"pump", "Pump", rows};
  return node;
}

const Node<GatewayView>& gateway_node() {
  using Gateway = const GatewayView&;
  static const std::array<Property<GatewayView>, 2> rows{{
      {"version", "Version", Datatype::string, "", "",
       [](Gateway g) { return g.version.empty() ? Value{} : Value{g.version}; }},
      {"uptime", "Uptime", Datatype::integer, "s", "",
       [](Gateway g) {
         const auto steps = g.uptime / kUptimeStep;
         return Value{std::to_string(steps * kUptimeStep.count())};
       }},
  }};
  static const Node<GatewayView> node{"gateway", "Gateway", rows};
  return node;
}

}  // namespace stillwell::report
