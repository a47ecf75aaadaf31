#pragma once
// Noise: how far the latest readings scatter about their own course. A surface scatters by millimetres; foam,
// waves, a splashing inlet or a loose bracket by centimetres.
//
// Each reading is held against the straight line between its two neighbours (Gasser T., Sroka L.,
// Jennen-Steinmetz C., Biometrika 73, 625-633, 1986; from memory), so that neither a pump that starts nor a
// level that was set anew looks like noise: they touch two readings of fifteen.

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
  /// After a pause longer than `window` the readings before it count no more: the water may have turned.
  explicit Noise(Duration window) : window_{window} {}

  /// Takes an accepted reading. One that is not finite, or not newer than the one before, is ignored.
  void add(const Seen& seen);

  /// Standard deviation of a single reading, estimated from the median. A gauge that flips between two levels
  /// now and then has none: such readings are spikes or jumps.
  [[nodiscard]] std::optional<Metres> spread() const;

  /// noisy when the spread is known and not within the limit.
  [[nodiscard]] Reason judge(Metres limit) const;

 private:
  /// The reading at this place, the oldest first.
  [[nodiscard]] const Seen& seen(std::size_t place) const;

  Duration window_;
  std::array<Seen, kReadings> ring_{};
  std::size_t count_ = 0;
  std::size_t next_ = 0;
};

}  // namespace stillwell
