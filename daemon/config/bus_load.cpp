#include "stillwell/config/bus_load.hpp"

#include "stillwell/config/bus_time.hpp"

namespace stillwell::config {

double bus_load(const Wiring& wiring, LineIndex index) {
  const LineWiring& line = wiring.lines.at(index.at);
  if (line.tcp || line.carries == Carries::pins) return 0.0;
  double load = 0.0;
  for (const Traffic& one : traffic_of(wiring, index))
    load += seconds_of(one.takes) / seconds_of(one.every);
  return load;
}

}  // namespace stillwell::config
