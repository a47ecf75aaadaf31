#include "stillwell/site/water_motion.hpp"

#include <algorithm>

namespace stillwell {
namespace {

// What a pump really delivers depends on head and age. Common practice, no source.
constexpr double kMostOfNameplate = 1.5;
constexpr double kLeastOfNameplate = 0.5;

/// The surface is taken a little above and below too: the water is not exactly where it was last seen.
constexpr Metres kAround{0.1};

/// All that flows into a tank, or out of it.
struct Flows {
  std::optional<LitresPerSecond> others;  ///< the most that comes or goes otherwise than by a pump
  LitresPerSecond most{};                 ///< by pumps
  LitresPerSecond least{};                ///< by pumps
  bool pumps_known = true;

  void add(const Pump& pump, Motor motor) {
    if (motor == Motor::still) return;
    if (!pump.flow_rate) {
      pumps_known = false;
      return;
    }
    most += *pump.flow_rate * kMostOfNameplate;
    if (motor == Motor::running) least += *pump.flow_rate * kLeastOfNameplate;
  }

  [[nodiscard]] std::optional<LitresPerSecond> bound() const {
    if (!pumps_known || !others) return {};
    return *others + most;
  }
};

bool fills(const Pump& pump, TankIndex tank) {
  return delivery_of(pump) == tank;
}

bool empties(const Pump& pump, TankIndex tank) {
  return suction_of(pump) == tank;
}

struct Surfaces {
  SquareMetres least{};
  SquareMetres most{};
};

Surfaces surfaces(const Tank& tank, Metres level) {
  const SquareMetres at = tank.shape->surface(level);
  Surfaces found{at, at};
  for (const Metres near : {level - kAround, level + kAround}) {
    if (near <= Metres{0.0} || near > tank.full()) continue;
    const SquareMetres area = tank.shape->surface(near);
    found = {std::min(found.least, area), std::max(found.most, area)};
  }
  return found;
}

MetresPerSecond speed(LitresPerSecond flow, SquareMetres area) {
  return MetresPerSecond{flow.value() / kLitresPerCubicMetre / area.value()};
}

/// The slowest that the level can move, up positive; zero when the flows may balance. A bore or a sump gives
/// as much as is pumped from it and stands still for hours: that it must fall is said only where the owner
/// states what comes. A draw that nobody stated counts as none: one that balances a filling to the millimetre
/// for minutes is rarer than a dead sensor, and a wrong accusation only stops the pump.
MetresPerSecond certain(const Flows& in, const Flows& out, SquareMetres area) {
  if (!(area > SquareMetres{0.0})) return {};
  const LitresPerSecond none{0.0};
  if (out.pumps_known) {
    const LitresPerSecond gain = in.least - out.most - out.others.value_or(none);
    if (gain > none) return speed(gain, area);
  }
  if (!in.bound()) return {};
  const LitresPerSecond loss = out.least - *in.bound();
  return loss > none ? -speed(loss, area) : MetresPerSecond{};
}

/// What the flows allow, if that is known and less than what the owner said.
MetresPerSecond tightened(MetresPerSecond stated, const std::optional<LitresPerSecond>& flow,
                          SquareMetres area) {
  if (!flow || !(area > SquareMetres{0.0})) return stated;
  return std::min(stated, speed(*flow, area));
}

}  // namespace

std::vector<Motor> motors(const Model& model, const Readings& readings,
                          const std::vector<SwitchState>& switches, const std::vector<PumpMemory>& pumps) {
  std::vector<Motor> found;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const Pump& pump = model.pumps[at];
    const std::size_t contact = pump.contact.at;
    const std::optional<bool> on =
        contact < readings.contacts.size() ? readings.contacts[contact].on : std::nullopt;
    const bool ordered = pumps[at].order == Order::on;
    const bool agrees = !pump.feedback || switches[pump.feedback->input.at].on == true;
    if (on == true && ordered && agrees)
      found.push_back(Motor::running);
    else
      found.push_back(on == false && !ordered ? Motor::still : Motor::unknown);
  }
  return found;
}

MetresPerSecond fastest_by_pumps(const Model& model, TankIndex index) {
  constexpr int kTenths = 10;
  const Tank& tank = model.tanks[index.at];
  if (!tank.shape) return {};
  SquareMetres narrowest = tank.shape->surface(tank.full());
  for (int tenth = 1; tenth < kTenths; ++tenth)
    narrowest = std::min(narrowest, tank.shape->surface(tank.full() * (tenth * 0.1)));
  Flows flows;
  for (const Pump& pump : model.pumps) {
    if (fills(pump, index) || empties(pump, index)) flows.add(pump, Motor::unknown);
  }
  return narrowest > SquareMetres{0.0} ? speed(flows.most, narrowest) : MetresPerSecond{};
}

WaterMotion water_motion(const Model& model, TankIndex index, const std::vector<Motor>& motors,
                         std::optional<Metres> level) {
  const Tank& tank = model.tanks[index.at];
  if (!tank.fastest) return {};
  WaterMotion motion{.fastest = Fastest{*tank.fastest, *tank.fastest}, .at_least = {}};
  if (!level || !tank.shape) return motion;
  Flows in{.others = tank.gains_at_most};
  Flows out{.others = tank.draws_at_most};
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    if (fills(model.pumps[at], index)) in.add(model.pumps[at], motors[at]);
    if (empties(model.pumps[at], index)) out.add(model.pumps[at], motors[at]);
  }
  const Surfaces area = surfaces(tank, *level);
  motion.fastest->rise = tightened(*tank.fastest, in.bound(), area.least);
  motion.fastest->fall = tightened(*tank.fastest, out.bound(), area.least);
  motion.at_least = certain(in, out, area.most);
  return motion;
}

}  // namespace stillwell
