#pragma once
// Spikes: a reading far from the running median of the latest few, as measured by their own spread (Hampel's
// filter, trailing window). Every reading enters the window, also a spike: so a real step is believed once it
// is the majority, and whether it was possible at all is asked elsewhere (reading/motion.hpp).

#include "stillwell/quantity/quantity.hpp"

#include <array>
#include <cstddef>

namespace stillwell {

class Hampel {
 public:
  static constexpr int kSmallest = 3;
  static constexpr int kLargest = 31;
  static constexpr double kSigmas = 3.0;

  /// What the window says of its newest reading.
  struct Verdict {
    bool spike = true;
    Metres median{};
    Metres deviation{};  ///< median absolute deviation, before the floor
  };

  /// A window of an odd count of readings; another count is taken as the next allowed one. `floor` is the
  /// least median absolute deviation that is believed: with none, two equal readings would make a spike of
  /// every third one that differs by a hair.
  explicit Hampel(int window = 7, Metres floor = Metres{0.0});

  /// Takes the newest reading and judges it against the window that ends with it. A spike when
  /// |reading − median| > 3 · 1.4826 · max(deviation, floor). NaN or infinity is a spike and enters no
  /// window. The first two readings are no spikes, whatever they are: nothing says which of two is wrong.
  Verdict judge(Metres reading);

  /// After a pause so long that the readings before it say nothing of the next one.
  void forget() { count_ = 0; }

  [[nodiscard]] int window() const { return window_; }
  [[nodiscard]] int held() const { return count_; }

 private:
  using Readings = std::array<double, static_cast<std::size_t>(kLargest)>;

  void take(double reading);

  Readings ring_{};    ///< in the order they came
  Readings sorted_{};  ///< the same by size: kept so, because each reading of each gauge asks for the median
  Metres floor_;
  int window_;
  int count_ = 0;  ///< readings held
  int next_ = 0;   ///< where the next one goes
};

/// The floor with which no true reading is called a spike, as long as the water moves by no more than `step`
/// from reading to reading and each reading is wrong by no more than `noise`: the newest lies within half a
/// window of steps and twice the noise of the median.
Metres spike_floor(int window, Metres step, Metres noise);

}  // namespace stillwell
