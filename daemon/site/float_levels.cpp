#include "stillwell/site/float_levels.hpp"

#include <algorithm>

namespace stillwell {
namespace {

std::string tell(const std::string& id, const SwitchState& state) {
  if (!state.on) return id + " unreadable (" + std::string(to_word(state.reason)) + ")";
  return id + (*state.on ? " on" : " off");
}

}  // namespace

FloatStates states_of(const Model& model, const Memory& memory, const TankFloats& floats, Instant now) {
  const auto state = [&](SwitchIndex input) {
    return state_of(memory.switches[input.at], model.switches[input.at].rules, now);
  };
  FloatStates states{.lower = state(floats.lower), .upper = state(floats.upper)};
  if (floats.high) states.high = state(*floats.high);
  return states;
}

Level quality_of(const FloatStates& floats) {
  std::vector<SwitchState> all{floats.lower, floats.upper};
  if (floats.high) all.push_back(*floats.high);
  const auto oldest = std::ranges::min_element(all, {}, &SwitchState::at);
  const FloatSight sight = look(floats);
  if (sight == FloatSight::contradict) return Level::bad(Reason::disagree, oldest->at);
  const auto mute = std::ranges::find_if(all, [](const SwitchState& one) { return !one.on; });
  if (mute != all.end()) return Level::bad(mute->reason, oldest->at);
  Level level;
  level.quality = Quality::good;
  level.reason = Reason::none;
  level.at = oldest->at;
  return level;
}

std::string tell_floats(const Model& model, const Memory& memory, const TankFloats& floats, Instant now) {
  const FloatStates states = states_of(model, memory, floats, now);
  const auto id = [&](SwitchIndex input) { return model.switches[input.at].id; };
  std::string text = tell(id(floats.lower), states.lower) + ", " + tell(id(floats.upper), states.upper);
  if (floats.high) text += ", " + tell(id(*floats.high), *states.high);
  return text;
}

}  // namespace stillwell
