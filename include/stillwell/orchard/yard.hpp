#pragma once
// The plant in real time, shared by the threads of all lines.

#include "stillwell/plant/plant.hpp"

#include <chrono>
#include <mutex>
#include <utility>

namespace stillwell::orchard {

using Clock = std::chrono::steady_clock;
using Moment = Clock::time_point;

class Yard {
 public:
  explicit Yard(plant::Plant plant) : plant_{std::move(plant)}, advanced_{Clock::now()} {}

  /// Brings the plant up to now and lets `use` have it alone. `use` must not wait for anything.
  template <class Use>
  auto with(Use use) {
    const std::lock_guard lock{mutex_};
    const Moment now = Clock::now();
    plant_.advance(std::chrono::duration_cast<Duration>(now - advanced_));
    advanced_ = now;
    return use(plant_);
  }

 private:
  std::mutex mutex_;
  plant::Plant plant_;
  Moment advanced_;
};

}  // namespace stillwell::orchard
