#pragma once
// A year on a roof: the header tank of the orchard, its water, its air, and an ultrasonic sensor that reckons
// with 15 degC. Invented data; the physics of sound is that of perfect gases, independent of the code under
// test. One step is one reading.

#include "stillwell/reading/sample.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "support/bench_seed.hpp"
#include "support/moist_air.hpp"

namespace support {

class RoofSensor {
 public:
  static constexpr double kToFloor = 2.85;
  static constexpr double kEvery = 10.0;  // s
  static constexpr double kAssumes = 15.0;

  explicit RoofSensor(std::uint64_t seed) : dice_{seed} {}

  struct Reading {
    double truth = 0.0;              ///< level, in metres
    double air = 0.0;                ///< degC, as its thermometer tells
    std::optional<double> distance;  ///< as the sensor reports it; empty: no answer
    bool is_good = false;            ///< an echo of the water itself
  };

  /// The pump runs only while the level is known, as the daemon sees to.
  Reading next(bool level_is_known) {
    seconds_ += kEvery;
    if (!level_is_known) pumping_ = false;
    move_water(level_is_known);
    const double day = std::sin(2.0 * std::numbers::pi * seconds_ / 86400.0);
    const double year = std::sin(2.0 * std::numbers::pi * seconds_ / (365.0 * 86400.0));
    weather_ += (-weather_ * 0.0002) + dice_.between(-0.05, 0.05);
    const double air = std::clamp(15.0 + 13.0 * year + 9.0 * day + weather_, -9.0, 45.0);
    Reading reading{.truth = level_, .air = air + dice_.between(-0.5, 0.5), .distance = {}, .is_good = false};
    if (is_away()) return reading;
    const double speed = perfect_gas_speed(air, 0.5 + 0.4 * -day);
    const double real = kToFloor - level_ + dice_.between(-0.003, 0.003);
    double echo = real;
    if (const auto web = spider()) {
      echo = *web;
    } else if (dice_.one_in(50)) {
      // Drops, foam and the inlet's splash echo too soon; one in ten is the second echo of the water.
      echo = dice_.one_in(10) ? 2.0 * real : dice_.between(0.25, kToFloor);
    } else {
      reading.is_good = true;
    }
    if (echo > 4.5) return reading;
    const double reported = echo * perfect_gas_speed(kAssumes, 0.0) / speed;
    reading.distance = std::round(reported * 1000.0) / 1000.0;
    return reading;
  }

  [[nodiscard]] bool pumping() const { return pumping_; }

 private:
  /// 4.52 m²; the house draws up to 40 L/min, the pump brings 60 L/min between 45 % and 92 %.
  void move_water(bool level_is_known) {
    if (dice_.one_in(60)) draw_ = dice_.one_in(3) ? dice_.between(0.0, 40.0) : dice_.between(0.0, 2.0);
    if (level_ < 0.45 * 2.45 && level_is_known) pumping_ = true;
    if (level_ > 0.92 * 2.45) pumping_ = false;
    const double litres = ((pumping_ ? 60.0 : 0.0) - (level_ > 0.2 ? draw_ : 0.0)) * kEvery / 60.0;
    level_ += litres / 4524.0;
  }

  /// One reading in twenty does not come, and three or four times a year somebody trips over the cable.
  bool is_away() {
    if (dice_.one_in(1'000'000)) away_until_ = seconds_ + dice_.between(600.0, 36000.0);
    return seconds_ < away_until_ || dice_.one_in(20);
  }

  /// A spider sits just in front of the face for hours, once a month.
  std::optional<double> spider() {
    if (dice_.one_in(260'000)) {
      spider_until_ = seconds_ + dice_.between(600.0, 43200.0);
      web_ = dice_.between(0.26, 0.5);
    }
    if (seconds_ > spider_until_) return {};
    return web_ + dice_.between(-0.002, 0.002);
  }

  Dice dice_;
  double seconds_ = 0.0;
  double level_ = 1.5;
  double draw_ = 0.0;
  bool pumping_ = false;
  double weather_ = 0.0;
  double away_until_ = 0.0;
  double spider_until_ = -1.0;
  double web_ = 0.3;
};

}  // namespace support
