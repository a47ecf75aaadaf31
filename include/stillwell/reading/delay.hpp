#pragma once
// How long a condition must hold before it counts. The delay is a budget that drains while the condition
// holds and refills at a quarter of that speed while it does not, so that a condition that flaps cannot dodge
// it.

#include "stillwell/quantity/time.hpp"

#include <optional>

namespace stillwell {

class Delay {
 public:
  /// True once the condition holds and its time is used up. A limit of zero counts at once.
  bool step(bool condition, Duration limit, Instant now);
  /// The condition could not be judged: nothing drains and nothing refills until the next step.
  void pause();
  void restart() { *this = {}; }

  /// All that matters of it from now on.
  struct Shown {
    Duration spent;
    bool drains;
    std::optional<Instant> last;  ///< step; empty: paused, or fresh
  };
  [[nodiscard]] Shown show() const { return {spent_, held_, last_}; }

 private:
  std::optional<Instant> last_;
  bool held_ = false;
  Duration spent_{0};
};

}  // namespace stillwell
