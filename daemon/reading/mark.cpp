#include "stillwell/reading/mark.hpp"

namespace stillwell {

std::optional<Side> side_of(const MarkRules& rules, const SwitchState& state) {
  if (!state.on) return {};
  return *state.on == rules.on_is_above ? Side::above : Side::below;
}

std::optional<Side> side_of(const MarkRules& rules, Metres level) {
  if (level > rules.at + rules.swing) return Side::above;
  if (level < rules.at - rules.swing) return Side::below;
  return {};
}

void follow(MarkMemory& memory, const MarkRules& rules, const SwitchState& state, const Seen& accepted,
            Duration patience) {
  const auto says = side_of(rules, state);
  const auto shown = side_of(rules, accepted.level);
  if (!says || !shown) {
    memory.against.reset();
  } else if (says == shown) {
    memory = {.agreed = says, .against = {}};
  } else {
    if (!memory.against) memory.against = state.at;
    if (accepted.at - *memory.against > patience) memory.agreed.reset();
  }
}

/// Every comparison is written so that a number that is none confirms nothing.
bool confirms(const MarkMemory& memory, const MarkRules& rules, const SwitchState& state,
              const MotionMemory& motion, Metres plateau) {
  const auto says = side_of(rules, state);
  if (!says || !memory.agreed || says == memory.agreed) return false;
  if (*state.on == rules.broken_is_on) return false;
  if (*says == Side::above)
    return motion.highest < rules.at - rules.swing && plateau >= rules.at - rules.swing;
  return motion.lowest > rules.at + rules.swing && plateau <= rules.at + rules.swing;
}

}  // namespace stillwell
