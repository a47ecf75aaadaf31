#include "stillwell/reading/meter.hpp"

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
  if (!memory.read_at) return {{}, memory.fault == Reason::none ? Reason::starting : memory.fault, Instant{}};
  if (now - *memory.read_at <= rules.stale_after) return {memory.load, Reason::none, *memory.read_at};
  return {{}, memory.fault == Reason::none ? Reason::stale : memory.fault, *memory.read_at};
}

}  // namespace stillwell
