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

  /// A reading older than `window` before the newest counts no more: the water has turned since.
  explicit Noise(Duration window) : window_{window} {}

  /// Takes an accepted reading. One that is not finite, or not newer than the one before, is ignored.
  void add(const Seen& seen);

  /// Standard deviation of the readings about the line, estimated from the median; half of them may be wild.
  /// So a gauge that flips between two exact values has none: such readings are spikes or jumps.
  [[nodiscard]] std::optional<Metres> spread() const;

  /// noisy when the spread is known and not within the limit.
  [[nodiscard]] Reason judge(Metres limit) const;

 private:
  Duration window_;
  std::array<Seen, kReadings> ring_{};
  std::size_t count_ = 0;
  std::size_t next_ = 0;
};

}  // namespace stillwell
