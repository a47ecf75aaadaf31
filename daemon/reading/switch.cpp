#include "stillwell/reading/switch.hpp"

namespace stillwell {

SwitchState follow(SwitchMemory& memory, const SwitchSample& sample, const SwitchRules& rules, Instant now) {
  memory.fault = sample.fault;
  if (sample.closed && (!memory.read_at || sample.at > *memory.read_at)) {
    memory.closed = sample.closed;
    memory.read_at = sample.at;
  }
  if (!memory.read_at) return {{}, memory.fault == Reason::none ? Reason::starting : memory.fault, Instant{}};
  if (now - *memory.read_at <= rules.stale_after) {
    return {*memory.closed != rules.active_low, Reason::none, *memory.read_at};
  }
  return {{}, memory.fault == Reason::none ? Reason::stale : memory.fault, *memory.read_at};
}

}  // namespace stillwell
