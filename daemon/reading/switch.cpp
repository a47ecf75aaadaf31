#include "stillwell/reading/switch.hpp"

#include "stillwell/reading/fresh.hpp"

namespace stillwell {

SwitchState follow(SwitchMemory& memory, const SwitchSample& sample, const SwitchRules& rules, Instant now) {
  memory.fault = sample.fault;
  if (sample.closed && (!memory.read_at || sample.at > *memory.read_at)) {
    memory.closed = sample.closed;
    memory.read_at = sample.at;
  }
  return state_of(memory, rules, now);
}

SwitchState state_of(const SwitchMemory& memory, const SwitchRules& rules, Instant now) {
  const Reason doubt = doubt_of(memory.read_at, memory.fault, rules.stale_after, now);
  if (doubt != Reason::none) return {{}, doubt, memory.read_at.value_or(Instant{})};
  return {*memory.closed != rules.active_low, Reason::none, *memory.read_at};
}

}  // namespace stillwell
