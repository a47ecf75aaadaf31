#include "stillwell/report/properties.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/figures.hpp"
#include "stillwell/site/meters.hpp"

#include <algorithm>
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
constexpr int kEnergyDecimals = 2;

// How a hub shows them. A class must go with the unit, or the hub refuses the whole entity.
constexpr Presentation kLevel{"distance", "measurement", kLevelDecimals, false, true};
constexpr Presentation kShare{"", "measurement", kPercentDecimals, false, true};
constexpr Presentation kContents{"volume_storage", "measurement", 0, false, true};
constexpr Presentation kRate{"", "measurement", 0, false, true};
constexpr Presentation kFlow{"volume_flow_rate", "measurement", 0, false, true};
constexpr Presentation kTimeLeft{"duration", "", 0, false, true};
constexpr Presentation kSum{"volume", "total_increasing", 0};
constexpr Presentation kDays{"duration", "", 1};
constexpr Presentation kHours{"duration", "total_increasing", 1};
constexpr Presentation kCount{"", "total_increasing"};
constexpr Presentation kFigure{"", "measurement"};
constexpr Presentation kMoment{"timestamp"};
constexpr Presentation kMoving{"running", "", -1, false, true};
constexpr Presentation kPower{"power", "measurement", 0, false, true};
constexpr Presentation kCurrent{"current", "measurement", 1, false, true};
constexpr Presentation kEnergy{"energy", "total_increasing", 1};
constexpr Presentation kProblem{"problem"};
constexpr Presentation kSound{"sound"};
constexpr Presentation kOfInstruments{.diagnostic = true};
constexpr Presentation kUptime{.device_class = "duration", .diagnostic = true};
constexpr Presentation kPlain{};

constexpr bool kStays = false;
constexpr bool kPasses = true;
constexpr const char* kNotNegative = "0:";

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

Value plain(std::optional<double> value) {
  return value ? Value{report::plain(*value)} : Value{};
}

Value whole_seconds(const std::optional<TimeTo>& to) {
  const auto left = time_left(to);
  if (!left) return {};
  return std::to_string(std::chrono::duration_cast<std::chrono::seconds>(*left).count());
}

Value of_today(const TankView& tank, Litres (DayTotals::*which)() const) {
  if (!tank.figures.today) return {};
  return number(((*tank.figures.today).*which)().value(), 0);
}

Value night_flow(const TankView& tank) {
  const auto& night = tank.figures.night;
  if (!night || !night->minimum) return {};
  return number(night->minimum->value() * 3600.0, 1);
}

Value load(const PumpView& pump, LoadKind kind, int decimals) {
  if (!pump.motor || pump.motor->kind != kind || !pump.motor->load) return {};
  return number(pump.motor->load->value(), decimals);
}

Value energy(const PumpView& pump) {
  if (!pump.motor || !pump.motor->used) return {};
  return number(*pump.motor->used / kKilowattHour, kEnergyDecimals);
}

Value moment(const std::optional<Stamp>& stamp) {
  return stamp ? Value{stillwell::to_text(*stamp)} : Value{};
}

Value yes_no(bool value) {
  return value ? "true" : "false";
}

Value count(std::size_t value) {
  return std::to_string(value);
}

Value word_or_none(const std::optional<Cause>& cause) {
  return cause ? Value{to_word(*cause)} : Value{"none"};
}

template <class Alarm>
Value id_of(const std::optional<Alarm>& alarm) {
  return alarm ? alarm->id : "none";
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
    case Datatype::moment: return "datetime";
  }
  return "string";
}

const Node<TankView>& water_node() {
  using Tank = const TankView&;
  static const std::array<Property<TankView>, 15> rows{{
      {"level", "Level", Datatype::floating, "m", "",
       [](Tank t) { return t.contents ? number(t.contents->level.value(), kLevelDecimals) : Value{}; },
       kStays, kLevel},
      {"percent", "Filled", Datatype::floating, "%", "",
       [](Tank t) { return t.contents ? number(t.contents->percent.value(), kPercentDecimals) : Value{}; },
       kStays, kShare},
      {"volume", "Volume", Datatype::floating, "L", "", [](Tank t) { return litres(t, &Contents::volume); },
       kStays, kContents},
      {"usable", "Usable volume", Datatype::floating, "L", "",
       [](Tank t) { return litres(t, &Contents::usable); }, kStays, kContents},
      {"ullage", "Room left", Datatype::floating, "L", "",
       [](Tank t) { return litres(t, &Contents::ullage); }, kStays, kContents},
      {"quality", "Quality of the level", Datatype::enumeration, "", words(Quality::bad),
       [](Tank t) { return Value{to_word(t.level.quality)}; }, kStays, kOfInstruments},
      {"reason", "Why it is not good", Datatype::enumeration, "", words(Reason::starting),
       [](Tank t) { return Value{to_word(t.level.reason)}; }, kStays, kOfInstruments},
      {"rate", "Rate of the level", Datatype::floating, "mm/min", "",
       [](Tank t) { return plain(rate_mm_min(t.figures)); }, kPasses, kRate},
      {"flow", "Net flow into it", Datatype::floating, "L/min", "",
       [](Tank t) { return plain(flow_l_min(t.figures)); }, kPasses, kFlow},
      {"time-to-empty", "Until the outlet runs dry", Datatype::integer, "s", kNotNegative,
       [](Tank t) { return whole_seconds(t.figures.to_empty); }, kPasses, kTimeLeft},
      {"time-to-full", "Until the full line", Datatype::integer, "s", kNotNegative,
       [](Tank t) { return whole_seconds(t.figures.to_full); }, kPasses, kTimeLeft},
      {"inflow-today", "Came in today", Datatype::floating, "L", kNotNegative,
       [](Tank t) { return of_today(t, &DayTotals::inflow); }, kPasses, kSum},
      {"draw-today", "Went out today", Datatype::floating, "L", kNotNegative,
       [](Tank t) { return of_today(t, &DayTotals::outflow); }, kPasses, kSum},
      {"days-left", "Days of water left", Datatype::floating, "d", kNotNegative,
       [](Tank t) { return t.figures.days_left ? number(*t.figures.days_left, 1) : Value{}; }, kPasses,
       kDays},
      {"night-flow", "Least flow out of it last night", Datatype::floating, "L/h", "", night_flow, kStays,
       kFigure},
  }};
  static const Node<TankView> node{"water", "Water", rows};
  return node;
}

const Node<TankView>& floats_node() {
  using Tank = const TankView&;
  static const std::array<Property<TankView>, 3> rows{{
      {"floats", "Where the floats see the water", Datatype::enumeration, "", words(FloatSight::unreadable),
       [](Tank t) { return t.floats ? Value{to_word(*t.floats)} : Value{}; }, kStays, kPlain},
      {"quality", "Quality of what they say", Datatype::enumeration, "", words(Quality::bad),
       [](Tank t) { return Value{to_word(t.level.quality)}; }, kStays, kOfInstruments},
      {"reason", "Why it is not good", Datatype::enumeration, "", words(Reason::starting),
       [](Tank t) { return Value{to_word(t.level.reason)}; }, kStays, kOfInstruments},
  }};
  static const Node<TankView> node{"water", "Water", rows};
  return node;
}

const Node<TankView>& node_of(const Tank& tank) {
  return tank.floats ? floats_node() : water_node();
}

namespace {

const Node<PumpView>& pump_node() {
  using Pump = const PumpView&;
  static const std::array<Property<PumpView>, 10> rows{{
      {"state", "State", Datatype::enumeration, "", words(PumpState::out_of_service),
       [](Pump p) { return Value{to_word(p.state)}; }, kStays, kPlain},
      {"running", "Contact confirmed on", Datatype::boolean, "", "off,on",
       // What is confirmed, not what was ordered; while unknown the last value stays.
       [](Pump p) { return p.contact ? yes_no(*p.contact) : Value{}; }, kStays, kMoving},
      {"mode", "Mode", Datatype::enumeration, "", words(Mode::off),
       [](Pump p) { return Value{to_word(p.mode)}; }, kStays, kPlain},
      {"held-by", "Held by", Datatype::string, "", "", [](Pump p) { return joined(p.held_by); }, kStays,
       kPlain},
      {"first-out", "First cause of the last trip", Datatype::string, "", "",
       [](Pump p) { return word_or_none(p.first_out); }, kStays, kPlain},
      {"lock-out", "What locks it out", Datatype::string, "", "",
       [](Pump p) { return word_or_none(p.lock_out); }, kStays, kPlain},
      {"run-hours", "Run hours", Datatype::floating, "h", kNotNegative,
       [](Pump p) { return number(seconds_of(p.run_time) / 3600.0, kHoursDecimals); }, kStays, kHours},
      {"starts", "Starts", Datatype::integer, "", kNotNegative,
       [](Pump p) { return Value{std::to_string(p.start_count)}; }, kStays, kCount},
      {"last-start", "Last start", Datatype::moment, "", "", [](Pump p) { return moment(p.last_start); },
       kStays, kMoment},
      {"last-stop", "Last stop", Datatype::moment, "", "", [](Pump p) { return moment(p.last_stop); }, kStays,
       kMoment},
  }};
  static const Node<PumpView> node{"pump", "Pump", rows};
  return node;
}

const Node<PumpView>& flow_part() {
  using Pump = const PumpView&;
  static const std::array<Property<PumpView>, 2> rows{{
      {"volume-moved", "Volume moved", Datatype::floating, "L", kNotNegative,
       [](Pump p) { return p.moved ? number(p.moved->value(), 0) : Value{}; }, kStays, kSum},
      {"wear", "Flow lately, of the nameplate's", Datatype::floating, "%", kNotNegative,
       [](Pump p) { return p.wear ? number(100.0 * *p.wear, 0) : Value{}; }, kStays, kFigure},
  }};
  static const Node<PumpView> node{"pump", "Pump", rows};
  return node;
}

const Node<PumpView>& watts_part() {
  using Pump = const PumpView&;
  static const std::array<Property<PumpView>, 2> rows{{
      {"power", "Power of its motor", Datatype::floating, "W", "",
       [](Pump p) { return load(p, LoadKind::power, 0); }, kPasses, kPower},
      {"energy", "Energy used, as far as it was seen", Datatype::floating, "kWh", kNotNegative, energy,
       kStays, kEnergy},
  }};
  static const Node<PumpView> node{"pump", "Pump", rows};
  return node;
}

const Node<PumpView>& amperes_part() {
  using Pump = const PumpView&;
  static const std::array<Property<PumpView>, 1> rows{{
      {"current", "Current of its motor", Datatype::floating, "A", "",
       [](Pump p) { return load(p, LoadKind::current, 1); }, kPasses, kCurrent},
  }};
  static const Node<PumpView> node{"pump", "Pump", rows};
  return node;
}

}  // namespace

std::vector<const Node<PumpView>*> pump_nodes(const Model& model, const Pump& pump) {
  std::vector<const Node<PumpView>*> nodes{&pump_node()};
  if (pump.flow_rate) nodes.push_back(&flow_part());
  if (const auto meter = meter_of(pump))
    nodes.push_back(model.meters[meter->at].rules.kind == LoadKind::power ? &watts_part() : &amperes_part());
  return nodes;
}

const Node<View>& alarms_node() {
  static const std::array<Property<View>, 6> rows{{
      {"standing", "Alarms that stand", Datatype::integer, "", kNotNegative,
       [](const View& v) { return count(v.alarm_figures.standing); }, kStays, kFigure},
      {"last-day", "Alarms of the last 24 hours", Datatype::integer, "", kNotNegative,
       [](const View& v) { return count(v.alarm_figures.last_day); }, kStays, kFigure},
      {"last-ten-minutes", "Alarms of the last ten minutes", Datatype::integer, "", kNotNegative,
       [](const View& v) { return count(v.alarm_figures.last_ten_minutes); }, kStays, kFigure},
      {"longest-standing", "Stands longest", Datatype::string, "", "",
       [](const View& v) { return id_of(v.alarm_figures.longest_standing); }, kStays, kPlain},
      {"most-frequent", "Rose most often in 24 hours", Datatype::string, "", "",
       [](const View& v) { return id_of(v.alarm_figures.most_frequent); }, kStays, kPlain},
      {"flood", "More than a person can follow", Datatype::boolean, "", "no,yes",
       [](const View& v) { return yes_no(v.alarm_figures.flood); }, kStays, kProblem},
  }};
  static const Node<View> node{"alarms", "Alarms", rows};
  return node;
}

const Node<View>& horn_node() {
  static const std::array<Property<View>, 1> rows{{
      {"horn-sounding", "A horn or lamp calls", Datatype::boolean, "", "quiet,calling",
       [](const View& view) {
         const auto sounds = [](const AnnunciatorView& one) { return one.order == Order::on; };
         return yes_no(std::any_of(view.annunciators.begin(), view.annunciators.end(), sounds));
       },
       kStays, kSound},
  }};
  static const Node<View> node{"alarms", "Alarms", rows};
  return node;
}

const Node<GatewayView>& gateway_node() {
  using Gateway = const GatewayView&;
  static const std::array<Property<GatewayView>, 3> rows{{
      {"version", "Version", Datatype::string, "", "",
       [](Gateway g) { return g.version.empty() ? Value{} : Value{g.version}; }, kStays, kOfInstruments},
      {"uptime", "Uptime", Datatype::integer, "s", kNotNegative,
       [](Gateway g) {
         const auto steps = g.uptime / kUptimeStep;
         return Value{std::to_string(steps * kUptimeStep.count())};
       },
       kStays, kUptime},
      {"instance", "Which run of it this is", Datatype::string, "", "",
       [](Gateway g) { return g.instance.empty() ? Value{} : Value{g.instance}; }, kStays, kOfInstruments},
  }};
  static const Node<GatewayView> node{"gateway", "Gateway", rows};
  return node;
}

std::string alarm_words() {
  return words(AlarmState::out_of_service);
}

}  // namespace stillwell::report
