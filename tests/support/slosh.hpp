#pragma once
// A month of a header tank that is drawn by day and filled by night, as an ultrasonic gauge at its end wall
// sees it: invented data, the water's own physics.
//
// Seiche: the first standing wave of a rectangular basin of length L and depth h, with the antinode at the
// wall, has the period T = 2π/√(g·k·tanh(k·h)), k = π/L. Merian J. R., Ueber die Bewegung tropfbarer
// Flüssigkeiten in Gefässen, Basel 1828; in shallow water it is the well-known T = 2L/√(g·h). That a tap or a
// pump sets off 10 mm of it, and that it dies away with 40 s, is invented: common practice, no source.

#include <cmath>
#include <cstdint>
#include <numbers>

#include "support/bench_seed.hpp"

namespace support {

inline double merian_period(double length, double depth) {
  constexpr double kGravity = 9.80665;  // m/s2, the standard value
  const double k = std::numbers::pi / length;
  return 2.0 * std::numbers::pi / std::sqrt(kGravity * k * std::tanh(k * depth));
}

class SloshingTank {
 public:
  static constexpr double kToFloor = 2.85;
  static constexpr double kFull = 2.45;
  static constexpr double kLength = 2.5;  // of a basin of 5 m2
  static constexpr std::int64_t kDay = 86400;

  /// Between these two the level goes down and up each day, in metres.
  struct Range {
    double high = 0.60;
    double low = 0.25;
  };
  SloshingTank(std::uint64_t seed, const Range& range) : dice_{seed}, range_{range}, level_{range.high} {}

  /// One second later.
  void step() {
    ++second_;
    const std::int64_t of_day = second_ % kDay;  // from five in the morning, when the tank is full enough
    const bool night = of_day >= kDay - kFilled;
    const bool day = of_day >= kMorning && of_day < kEvening;
    if (!night && !day) return move(0.0);
    if (night) return move((range_.high - range_.low) / kFilled);
    // One draw begins in each stretch of the day, at a time of its own.
    const std::int64_t in_stretch = (of_day - kMorning) % kStretch;
    if (in_stretch == 0) begins_ = dice_.roll(kStretch - kDraw);
    const bool draws = in_stretch >= begins_ && in_stretch < begins_ + kDraw;
    move(draws ? -(range_.high - range_.low) * kStretch / (kDraw * static_cast<double>(kEvening - kMorning))
               : 0.0);
  }

  [[nodiscard]] double level() const { return level_; }
  /// The distance that the gauge tells now: the wave, 3 mm of its own noise, and in two of a hundred an echo
  /// of something else.
  double distance() {
    const double since = static_cast<double>(second_ - struck_);
    const double wave = kWave * std::exp(-since / kDies) *
                        std::cos(2.0 * std::numbers::pi * since / merian_period(kLength, level_));
    const double real = kToFloor - level_ - wave + kNoise * normal();
    const double told = dice_.one_in(50) ? dice_.between(0.25, kToFloor) : real;
    return std::round(told * 1000.0) / 1000.0;
  }

 private:
  static constexpr std::int64_t kFilled = 5 * 3600;
  static constexpr std::int64_t kMorning = 1 * 3600;
  static constexpr std::int64_t kEvening = 17 * 3600;
  static constexpr int kStretch = 1200;
  static constexpr int kDraw = 180;
  static constexpr double kWave = 0.010;
  static constexpr double kDies = 40.0;
  static constexpr double kNoise = 0.003;

  void move(double speed) {
    if (speed != speed_) struck_ = second_;  // NOLINT: told apart, not computed
    speed_ = speed;
    level_ += speed;
  }
  /// Box G. E. P., Muller M. E., Ann. Math. Statist. 29, 610-611, 1958.
  double normal() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - dice_.between(0.0, 1.0)));
    return radius * std::cos(2.0 * std::numbers::pi * dice_.between(0.0, 1.0));
  }

  Dice dice_;
  Range range_;
  std::int64_t second_ = -1;
  std::int64_t struck_ = -10'000;
  int begins_ = 0;
  double speed_ = 0.0;
  double level_;
};

}  // namespace support
