#include "stillwell/plant/plant.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwell::plant {
namespace {

using namespace std::chrono_literals;

/// A span of any length costs no more steps than this.
constexpr int kMostSteps = 200'000;
/// A tank that runs dry by order loses all that it can hold within this time.
constexpr double kSecondsToVanish = 20.0;
/// How far a float swings between on and off: common practice for a small one.
constexpr Metres kSwing{0.01};
/// Ripples come and go with this period, so that readings in a row hang together.
constexpr double kRippleSeconds = 2.3;
/// A flow switch closes at this share of what its pump moves: common practice, no source.
constexpr double kSeenFlow = 0.25;
/// An order more than this is a mistake of whoever gives them.
constexpr std::size_t kMostFaults = 256;
constexpr std::size_t kMostChanges = 1024;

}  // namespace

Plant::Plant(Model model, Scenario scenario, Duration step)
    : model_{with_pits(std::move(model))}, scenario_{std::move(scenario)}, step_{step} {
  for (std::size_t at = 0; at < model_.tanks.size(); ++at) {
    const TankScenario& given = scenario_.tanks.at(at);
    basins_.emplace_back(model_.tanks[at].shape, given.start, given.brim);
  }
  scenario_.pump_flow.resize(model_.pumps.size());
  moved_.resize(model_.pumps.size());
  contacts_.resize(model_.contacts.size());
  switches_.resize(model_.switches.size());
  pressed_until_.resize(model_.switches.size());
  turned_on_.resize(model_.switches.size());
  loads_.resize(model_.meters.size());
  floats_on_.resize(scenario_.floats.size());
  for (std::size_t at = 0; at < model_.gauges.size(); ++at) {
    // Each sensor has chance of its own, so that the order of asking changes no reading.
    sensors_.push_back(
        {.chance = Chance{scenario_.seed + at}, .tank = {}, .mounting = {}, .said = {}, .readings = 0});
  }
  for (std::size_t at = 0; at < model_.tanks.size(); ++at) {
    for (const TankGauge& one : model_.tanks[at].gauges) {
      sensors_.at(one.gauge.at).tank = TankIndex{at};
      sensors_.at(one.gauge.at).mounting = one.mounting;
    }
  }
  faults_ = std::move(scenario_.faults);
  look_at_floats();
}

void Plant::advance(Duration span) {
  const Duration longest = std::max(step_, span / kMostSteps);
  while (span > 0ns) {
    const Duration part = std::min(span, longest);
    live(part);
    span -= part;
  }
}

void Plant::live(Duration span) {
  const double seconds = seconds_of(span);
  const Duration time = scenario_.cycle ? now_ % *scenario_.cycle : now_;
  for (std::size_t at = 0; at < basins_.size(); ++at) {
    Basin& basin = basins_[at];
    const TankScenario& given = scenario_.tanks[at];
    if (fault({Part::tank, at}, FaultKind::dry) != nullptr) {
      basin.vanish(model_.tanks[at].capacity() * (seconds / kSecondsToVanish));
    } else {
      basin.enter(Litres{given.inflow.at(time).value() * seconds});
    }
    basin.draw(Litres{given.draw.at(time).value() * seconds}, model_.tanks[at].unusable);
  }
  for (std::size_t at = 0; at < moved_.size(); ++at)
    run_pump(PumpIndex{at}, seconds);
  for (Basin& basin : basins_)
    basin.spill();
  now_ += span;
  std::erase_if(faults_, [this](const Fault& one) { return one.until && *one.until <= now_; });
  look_at_floats();
  look_at_contacts();
  look_at_meters();
}

void Plant::run_pump(PumpIndex pump, double seconds) {
  const Pump& rules = model_.pumps[pump.at];
  moved_[pump.at] = LitresPerSecond{0.0};
  if (!turning(pump) || !way_is_open(rules) || seconds <= 0.0) return;
  if (fault({Part::pump, pump.at}, FaultKind::airlock) != nullptr) return;
  Litres amount{scenario_.pump_flow[pump.at].value() * seconds};
  if (rules.source) {
    amount = basins_[rules.source->at].pump_out(amount, scenario_.tanks[rules.source->at].intake);
  }
  const auto receiver = rules.duty == Duty::fill ? std::optional{rules.tank} : rules.receiver;
  if (receiver) basins_[receiver->at].pump_in(amount);
  moved_[pump.at] = LitresPerSecond{amount.value() / seconds};
}

void Plant::look_at_floats() {
  for (std::size_t at = 0; at < scenario_.floats.size(); ++at) {
    const Float& hung = scenario_.floats[at];
    const Metres water = level(hung.tank);
    // Halfway positions keep what they were, as a swinging float does.
    const Metres off = hung.on_above ? hung.level - kSwing : hung.level + kSwing;
    const bool is_on = hung.on_above ? water >= hung.level : water <= hung.level;
    const bool is_off = hung.on_above ? water <= off : water >= off;
    if (is_on) floats_on_[at] = 1;
    if (is_off) floats_on_[at] = 0;
  }
  for (std::size_t at = 0; at < switches_.size(); ++at) {
    if (fault({Part::input, at}, FaultKind::frozen) == nullptr) switches_[at] = on(SwitchIndex{at}) ? 1 : 0;
  }
}

/// It gets less than half of what it would move: it draws air.
bool Plant::is_dry(PumpIndex pump) const {
  return moved_[pump.at] < scenario_.pump_flow[pump.at] * 0.5;
}

/// After each step, since only then it is known what a pump moved in it.
void Plant::look_at_meters() {
  for (const Supply& supply : scenario_.supplies) {
    const Target target{Part::meter, supply.meter.at};
    if (fault(target, FaultKind::frozen) != nullptr) continue;
    MotorLoad& shown = loads_[supply.meter.at];
    shown = is_dry(supply.pump) ? supply.dry : supply.wet;
    if (!turning(supply.pump)) shown = MotorLoad{0.0};
    if (const Fault* misreads = fault(target, FaultKind::misreads))
      shown = shown * (std::get<Percent>(misreads->amount).value() / 100.0);
  }
}

void Plant::press(SwitchIndex button, Duration held) {
  pressed_until_[button.at] = now_ + held;
}

void Plant::turn(SwitchIndex selector, bool on) {
  turned_on_[selector.at] = on ? 1 : 0;
}

bool Plant::on(SwitchIndex input) const {
  if (now_ < pressed_until_[input.at] || turned_on_[input.at] != 0) return true;
  for (std::size_t at = 0; at < scenario_.floats.size(); ++at) {
    if (scenario_.floats[at].input == input) return floats_on_[at] != 0;
  }
  for (std::size_t at = 0; at < model_.pumps.size(); ++at) {
    if (shows(PumpIndex{at}, input)) return true;
  }
  return false;
}

/// Feedback shows the contactor, not the motor; a flow switch shows the water.
bool Plant::shows(PumpIndex pump, SwitchIndex input) const {
  const Pump& rules = model_.pumps[pump.at];
  if (rules.feedback && rules.feedback->input == input && contactor(rules.contact)) return true;
  return rules.dry_run.flow && rules.dry_run.flow->input == input && flow(pump) > LitresPerSecond{0.0} &&
         flow(pump) >= scenario_.pump_flow[pump.at] * kSeenFlow;
}

bool Plant::closed(SwitchIndex input) const {
  if (fault({Part::input, input.at}, FaultKind::broken_wire) != nullptr) return false;
  return (switches_[input.at] != 0) != model_.switches[input.at].rules.active_low;
}

bool Plant::contactor(ContactIndex contact) const {
  const Target target{Part::contact, contact.at};
  if (fault(target, FaultKind::welded) != nullptr) return true;
  return coil(contact) && fault(target, FaultKind::open_circuit) == nullptr;
}

bool Plant::turning(PumpIndex pump) const {
  const Pump& rules = model_.pumps[pump.at];
  return contactor(rules.contact) && (!rules.isolator || contactor(rules.isolator->contact));
}

/// What a pump needs may be another pump, which holds no water back; a closed valve does.
bool Plant::way_is_open(const Pump& pump) const {
  return std::all_of(pump.needs.begin(), pump.needs.end(), [this](PumpIndex needed) {
    return model_.pumps[needed.at].drive != Drive::valve || turning(needed);
  });
}

void Plant::look_at_contacts() {
  for (std::size_t at = 0; at < contacts_.size(); ++at) {
    Relay& relay = contacts_[at];
    if (relay.drops_at && now_ >= *relay.drops_at) relay.coil = false;
    const bool is_on = contactor(ContactIndex{at});
    if (is_on == relay.was_on) continue;
    relay.was_on = is_on;
    if (changes_.size() < kMostChanges) changes_.push_back({ContactIndex{at}, is_on, now_});
  }
  look_at_floats();  // feedback follows its contactor at once
}

void Plant::write(ContactIndex contact, bool on) {
  const Target target{Part::contact, contact.at};
  const bool deaf =
      fault(target, FaultKind::ignores_writes) != nullptr || fault(target, FaultKind::lying_echo) != nullptr;
  if (!deaf) contacts_[contact.at].coil = on;
  look_at_contacts();
}

void Plant::hold(ContactIndex contact, Duration span) {
  contacts_[contact.at].drops_at = now_ + span;
  look_at_contacts();
}

Duration Plant::held(ContactIndex contact) const {
  const auto& drops_at = contacts_[contact.at].drops_at;
  return drops_at ? std::max(*drops_at - now_, Duration{0}) : Duration{0};
}

Metres Plant::surface(Sensor& sensor) const {
  if (!sensor.tank) return Metres{0.0};
  const double swell = std::sin(2.0 * std::numbers::pi * seconds_of(now_) / kRippleSeconds);
  return level(*sensor.tank) + scenario_.ripple * (0.6 * swell + 0.2 * sensor.chance.bell());
}

Metres Plant::sound(GaugeIndex gauge) {
  Sensor& sensor = sensors_[gauge.at];
  const Target target{Part::gauge, gauge.at};
  if (fault(target, FaultKind::frozen) != nullptr && sensor.readings > 0) return sensor.said;
  ++sensor.readings;
  const Metres water = surface(sensor);
  Metres says = model_.gauges[gauge.at].rules.measures == Measures::distance
                    ? sensor.mounting.to_floor - water
                    : water + sensor.mounting.to_floor;
  if (const Fault* noise = fault(target, FaultKind::noise)) {
    says += std::get<Metres>(noise->amount) * sensor.chance.bell();
  }
  if (const Fault* spike = fault(target, FaultKind::spike); spike != nullptr && sensor.readings % 4 == 0) {
    says += std::get<Metres>(spike->amount) * (sensor.readings % 8 == 0 ? 1.0 : -1.0);
  }
  if (const Fault* stuck = fault(target, FaultKind::stuck)) says = std::get<Metres>(stuck->amount);
  sensor.said = std::max(says, Metres{0.0});
  return sensor.said;
}

void Plant::set_inflow(TankIndex tank, LitresPerSecond flow) {
  scenario_.tanks[tank.at].inflow = Flow::constant(flow);
}

void Plant::set_draw(TankIndex tank, LitresPerSecond flow) {
  scenario_.tanks[tank.at].draw = Flow::constant(flow);
}

bool Plant::order(const Fault& fault) {
  std::erase_if(faults_, [&](const Fault& one) {
    return fault.active(now_) && one.target == fault.target && one.kind == fault.kind && one.active(now_);
  });
  if (faults_.size() >= kMostFaults) return false;
  faults_.push_back(fault);
  look_at_contacts();
  return true;
}

void Plant::clear(Target target) {
  std::erase_if(faults_, [&](const Fault& one) { return one.target == target; });
  look_at_contacts();
}

const Fault* Plant::fault(Target target, FaultKind kind) const {
  const auto found = std::find_if(faults_.begin(), faults_.end(), [&](const Fault& one) {
    return one.target == target && one.kind == kind && one.active(now_);
  });
  return found == faults_.end() ? nullptr : &*found;
}

std::vector<ContactChange> Plant::take_changes() {
  return std::exchange(changes_, {});
}

}  // namespace stillwell::plant
