#pragma once
// How well the scan keeps its time, as the daemon reports it of itself.

#include "stillwell/quantity/time.hpp"

#include <cstdint>

namespace stillwell::report {

struct ScanHealth {
  std::uint64_t scans = 0;
  std::uint64_t missed = 0;  ///< whole periods in which no scan began although one was due
  Duration worst_delay{0};   ///< longest time from when a scan was due until it began
};

}  // namespace stillwell::report
