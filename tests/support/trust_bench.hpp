#pragma once
// A gauge on the header tank of the orchard with every check of trust switched on, shown one reading a
// second.

#include "stillwell/reading/gauge.hpp"

#include <chrono>

namespace support {

struct TrustBench {
  stillwell::GaugeRules rules{
      .measures = stillwell::Measures::distance,
      .blanking = stillwell::Metres{0.25},
      .reach = stillwell::Metres{4.5},
      .stale_after = std::chrono::seconds{3},
      .recover_after = 3,
      .correction = {},
      .settle = {.spikes = 7,
                 .spike_floor = stillwell::spike_floor(7, stillwell::Metres{0.001}, stillwell::Metres{0.01}),
                 .noise = stillwell::Metres{0.01},
                 .frozen_after = stillwell::Metres{0.05}}};
  stillwell::Mounting mounting{.to_floor = stillwell::Metres{2.85},
                               .to_full = stillwell::Metres{0.40},
                               .full = stillwell::Metres{2.45},
                               .margin = stillwell::Metres{0.12}};
  /// 60 mm/min either way.
  stillwell::WaterMotion water{
      .fastest = stillwell::Fastest{stillwell::MetresPerSecond{0.001}, stillwell::MetresPerSecond{0.001}},
      .at_least = {}};
  stillwell::GaugeMemory memory;
  stillwell::Instant now{std::chrono::hours{1}};
  stillwell::GaugeSample shown;

  stillwell::Level look(stillwell::Duration later = {}) {
    return follow(memory, shown, rules, mounting, water, now += later);
  }
  stillwell::Level show(stillwell::GaugeSample sample) {
    now += std::chrono::seconds{1};
    sample.at = now;
    shown = sample;
    return look();
  }
  stillwell::Level distance(double metres) {
    return show({.value = stillwell::Metres{metres}, .fault = stillwell::Reason::none});
  }
  /// As the sensor would see that level.
  stillwell::Level level(double metres) { return distance(mounting.to_floor.value() - metres); }
  stillwell::Level silence() { return show({.fault = stillwell::Reason::no_answer}); }
  stillwell::Level settle(double metres, int readings = 20) {
    stillwell::Level last;
    for (int i = 0; i < readings; ++i)
      last = level(metres + 0.001 * (i % 3));
    return last;
  }
};

}  // namespace support
