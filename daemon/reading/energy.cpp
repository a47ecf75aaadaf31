#include "stillwell/reading/energy.hpp"

namespace stillwell {

void count_energy(EnergyMemory& memory, const MeterState& shown, Duration stale_after) {
  if (!shown.load) return memory.last.reset();
  if (memory.last) {
    const Duration apart = shown.at - memory.last->at;
    if (apart <= Duration{0}) return;  // no newer reading has come yet
    const MotorLoad mean = (*memory.last->load + *shown.load) / 2.0;
    if (apart <= stale_after) memory.used += Watts{mean.value()} * apart;
  }
  memory.last = shown;
}

}  // namespace stillwell
