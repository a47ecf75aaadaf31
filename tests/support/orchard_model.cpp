#include "support/orchard_model.hpp"

#include "stillwell/tank/shapes/prism.hpp"

namespace support {

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

Tank tank(std::string id, std::string name, std::size_t gauge, Metres full) {
  Tank result;
  result.id = std::move(id);
  result.name = std::move(name);
  result.gauges = {{GaugeIndex{gauge}, {full + Metres{0.4}, Metres{0.4}, full, Metres{0.1}}}};
  result.full_line = full;
  result.unusable = Metres{0.1};
  result.shape = rectangular(Metres{2.5}, Metres{2.0});
  return result;
}

Alarm alarm(std::size_t tank_at, AlarmKind kind, Metres at, Priority priority) {
  Alarm result;
  result.of = TankIndex{tank_at};
  result.kind = kind;
  result.at = at;
  result.clears_at = at;
  result.priority = priority;
  return result;
}

Pump pump(std::string id, std::string name, std::size_t to, std::size_t contact) {
  Pump result;
  result.id = std::move(id);
  result.name = std::move(name);
  result.tank = TankIndex{to};
  result.contact = ContactIndex{contact};
  return result;
}

}  // namespace

Model orchard_model() {
  Model model;
  model.id = "orchard";
  model.name = "Hillside orchard";
  model.scan = 1s;
  model.lines = {Line{"shed"}};
  model.gauges = {Gauge{"header-top", {}}, Gauge{"cistern-top", {}}};
  model.contacts = {Contact{"lift-contact"}, Contact{"bore-contact"}};
  model.tanks = {tank("header", "Header tank", 0, Metres{2.45}), tank("cistern", "Cistern", 1, Metres{2.0})};
  model.alarms = {alarm(0, AlarmKind::low, Metres{0.37}, Priority::medium),
                  alarm(0, AlarmKind::high, Metres{2.4}, Priority::high),
                  alarm(1, AlarmKind::low, Metres{0.3}, Priority::medium),
                  alarm(1, AlarmKind::unwell, Metres{}, Priority::low)};
  for (auto& each : model.alarms) {
    each.id = model.tanks[each.tank()->at].id + "/" + std::string{to_word(each.kind)};
  }
  model.pumps = {pump("lift", "Lift pump", 0, 0), pump("bore", "Bore pump", 1, 1)};
  model.pumps[0].source = TankIndex{1};
  return model;
}

Model orchard_with_meters() {
  Model model = orchard_model();
  for (Pump& pump : model.pumps) {
    const bool in_watts = pump.id == "lift";
    pump.flow_rate = LitresPerSecond{1.0};
    pump.dry_run.power = PowerGuard{.meter = {model.meters.size()}, .below = MotorLoad{3.0}, .lasts = 5s};
    model.meters.push_back(
        {pump.id + "-load", {.kind = in_watts ? LoadKind::power : LoadKind::current, .stale_after = 3s}});
  }
  return model;
}

Stamp some_stamp() {
  using namespace std::chrono;
  return Stamp{sys_days{2026y / March / 1} + 4h + 12min + 7s + 250ms};
}

TankView tank_at(const Tank& tank, Metres level) {
  TankView view;
  view.level = {level, Metres{0.004}, Quality::good, Reason::none, kSomeInstant - 400ms};
  view.contents = contents_at(tank, level);
  view.last_level = level;
  return view;
}

TankView tank_gone(const TankView& before, Reason reason) {
  TankView view;
  view.level = Level::bad(reason, before.level.at);
  view.last_level = before.last_level;
  return view;
}

View calm_view(const Model& model) {
  View view;
  view.tanks = {tank_at(model.tanks[0], Metres{1.742}), tank_at(model.tanks[1], Metres{1.2})};
  view.alarms.resize(model.alarms.size());
  view.pumps.resize(model.pumps.size());
  for (auto& each : view.pumps)
    each.contact = false;
  view.pumps[0].run_time = 12h + 24min;
  view.pumps[0].start_count = 37;
  view.lines = {LineSample{true, 1204, 3}};
  return view;
}

View busy_view(const Model& model) {
  View view = calm_view(model);
  for (TankView& tank : view.tanks) {
    TankFigures& figures = tank.figures;
    constexpr double kMmPerMin = 1e-3 / 60.0;
    figures.rate = LevelRate{.slope = MetresPerSecond{3.4 * kMmPerMin},
                             .low = MetresPerSecond{3.0 * kMmPerMin},
                             .high = MetresPerSecond{3.8 * kMmPerMin},
                             .points = 24,
                             .span = 5min};
    figures.flow = flow_of(*figures.rate, SquareMetres{5.0});
    figures.to_full = TimeTo{.expected = 208min, .soonest = 186min, .latest = 236min};
    figures.to_empty = TimeTo{.expected = 50min, .soonest = 50min - 4s, .latest = 50min + 4s};
    figures.today = DayTotals{.day = 20000,
                              .drawn = Litres{180.4},
                              .gained = Litres{12.0},
                              .pumped_in = Litres{600.0},
                              .pumped_out = Litres{20.0},
                              .known = 6h,
                              .unknown = 30min};
    figures.before = figures.today;
    figures.days_left = 12.34;
    figures.night = Night{.minimum = LitresPerSecond{2.5 / 3600.0}, .known = 1.0, .told = true};
  }
  for (PumpView& pump : view.pumps) {
    pump.moved = Litres{123456.7};
    pump.wear = 0.934;
    pump.last_start = some_stamp();
    pump.last_stop = some_stamp();
    pump.motor =
        MotorView{.kind = LoadKind::power, .load = MotorLoad{821.46}, .used = kKilowattHour * 41.2345};
  }
  return view;
}

Outcome calm_outcome(const Model& model) {
  Outcome outcome;
  outcome.at = kSomeInstant;
  outcome.contacts.resize(model.contacts.size());
  outcome.view = calm_view(model);
  return outcome;
}

}  // namespace support
