#pragma once
// Random tests that can be repeated: the seed is fixed unless STILLWELL_SEED names another, and a failure
// prints it (INFO it in the test).

#include <cstdint>
#include <cstdlib>
#include <random>
#include <string>

namespace support {

inline std::uint64_t seed_or(std::uint64_t usual) {
  const char* asked = std::getenv("STILLWELL_SEED");
  return asked == nullptr ? usual : std::stoull(asked);
}

/// The full-size campaign, run by hand.
inline bool is_full() {
  return std::getenv("STILLWELL_FULL") != nullptr;
}
/// Under a sanitizer, where each step takes many times as long and the plain build has taken them all.
inline bool is_brief() {
  return std::getenv("STILLWELL_BRIEF") != nullptr;
}

/// Draws that mean the same on every standard library (its distributions do not).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_{seed} {}

  /// 0 … sides−1.
  int roll(int sides) { return static_cast<int>(engine_() % static_cast<std::uint64_t>(sides)); }
  /// True once in `sides`.
  bool one_in(int sides) { return roll(sides) == 0; }
  double between(double from, double to) {
    return from + (to - from) * (static_cast<double>(engine_() >> 11U) * 0x1.0p-53);
  }
  std::uint64_t bits() { return engine_(); }

 private:
  std::mt19937_64 engine_;
};

}  // namespace support
