#pragma once
// Noise: how far the latest accepted readings scatter about a straight line. A surface scatters by
// millimetres; foam, waves, a splashing inlet or a loose bracket by centimetres.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/motion.hpp"
#include "stillwell/reading/quality.hpp"

#include <array>
#include <cstddef>
#include <optional>

namespace stillwell {

class Noise {
 public:
  static constexpr std::size_t kReadings = 15;
  /// Fewer readings say nothing: three of them may lie on a line by chance.
  static constexpr std::size_t kFewest = 7;
  /// The line is drawn anew with every so many readings: it costs more than all other checks together.
  static constexpr std::size_t kAnew = 5;

  /// After a pause longer than `window` the readings before it count no more: the water may have turned.
  explicit Noise(Duration window) : window_{window} {}

  /// Takes an accepted reading. One that is not finite, or not newer than the one before, is ignored.
  void add(const Seen& seen);

  /// Standard deviation of the readings about the line, estimated from the median; half of them may be wild.
  /// So a gauge that flips between two exact values has none: such readings are spikes or jumps.
  [[nodiscard]] std::optional<Metres> spread() const { return spread_; }

  /// noisy when the spread is known and not within the limit.
  [[nodiscard]] Reason judge(Metres limit) const;

 private:
  [[nodiscard]] std::optional<Metres> measure() const;

  Duration window_;
  std::array<Seen, kReadings> ring_{};
  std::size_t count_ = 0;
  std::size_t next_ = 0;
  std::size_t since_measured_ = 0;
  std::optional<Metres> spread_;
};

}  // namespace stillwell
