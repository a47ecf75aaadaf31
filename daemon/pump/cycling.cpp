#include "stillwell/pump/cycling.hpp"

#include <cmath>

namespace stillwell {
namespace {

Duration time_to_move(Litres volume, LitresPerSecond flow) {
  return Duration{std::llround(volume.value() / flow.value() * 1e9)};
}

}  // namespace

Cycle cycle_of(Litres working, LitresPerSecond pump, LitresPerSecond against) {
  return {time_to_move(working, against), time_to_move(working, pump - against)};
}

Cycle shortest_cycle(Litres working, LitresPerSecond pump) {
  return cycle_of(working, pump, pump / 2.0);
}

Litres least_working_volume(LitresPerSecond pump, Duration cycle) {
  return Litres{seconds_of(cycle) * pump.value() / 4.0};
}

}  // namespace stillwell
