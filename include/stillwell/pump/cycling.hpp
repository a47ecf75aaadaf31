#pragma once
// How often a pump starts, by the volume between its start and stop levels. Filling and emptying are one
// arithmetic: against a fill pump flows what is drawn, against a drain pump what flows in.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

namespace stillwell {

/// From one start to the next.
struct Cycle {
  Duration off{};  ///< V / q
  Duration on{};   ///< V / (Q − q)
  [[nodiscard]] Duration whole() const { return off + on; }
};

/// `against` must lie between nothing and what the pump moves: otherwise it never starts, or never stops.
Cycle cycle_of(Litres working, LitresPerSecond pump, LitresPerSecond against);

/// The worst there is: half of what the pump moves flows against it, and V/q + V/(Q − q) is least, 4·V/Q.
Cycle shortest_cycle(Litres working, LitresPerSecond pump);

/// V = T·Q/4, below which a pump can start more often than once in `cycle` (UFC 3-240-04A, chapter 7;
/// MIL-HDBK-1005/9A, 2.5.3.6).
Litres least_working_volume(LitresPerSecond pump, Duration cycle);

}  // namespace stillwell
