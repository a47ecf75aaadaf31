#include "stillwell/reading/meter.hpp"

#include "stillwell/reading/fresh.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {

MeterState follow(MeterMemory& memory, const MeterSample& sample, const MeterRules& rules, Instant now) {
  const bool readable = sample.value && std::isfinite(*sample.value);
  memory.fault = sample.value && !readable ? Reason::bad_frame : sample.fault;
  if (readable && (!memory.read_at || sample.at > *memory.read_at)) {
    memory.load = MotorLoad{std::max(*sample.value, 0.0)};
    memory.read_at = sample.at;
  }
  const Reason doubt = doubt_of(memory.read_at, memory.fault, rules.stale_after, now);
  if (doubt != Reason::none) return {{}, doubt, memory.read_at.value_or(Instant{})};
  return {memory.load, Reason::none, *memory.read_at};
}

}  // namespace stillwell
