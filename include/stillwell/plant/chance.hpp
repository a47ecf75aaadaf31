#pragma once
// Seeded chance, the same on every machine: the distributions of the standard library differ between makers,
// the bits of its engine do not.

#include <cstdint>
#include <random>

namespace stillwell::plant {

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : bits_{seed} {}

  /// Even in [0, 1).
  double even() { return static_cast<double>(bits_() >> 11U) * 0x1.0p-53; }

  /// Bell-shaped with mean 0 and deviation 1, never beyond 6: the sum of twelve even ones.
  double bell() {
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) {
      sum += even();
    }
    return sum;
  }

  std::uint8_t byte() { return static_cast<std::uint8_t>(bits_() >> 56U); }

 private:
  std::mt19937_64 bits_;
};

}  // namespace stillwell::plant
