#pragma once
// When an outage is worth telling: each of its causes once, its end once, and a connection that flaps not at
// every flap. Pure.

#include <chrono>
#include <optional>
#include <set>
#include <string>

namespace stillwell::report {

class Outage {
 public:
  using Time = std::chrono::steady_clock::time_point;
  /// The journal hears of the next outage only when all was well for so long, or none was told yet.
  static constexpr auto kQuiet = std::chrono::seconds{60};

  struct Tell {
    bool log = false;
    bool journal = false;
  };

  Tell trouble(const std::string& cause, Time now) {
    if (causes_.empty()) began_ = now;
    if (!causes_.insert(cause).second) return {};
    const bool flaps = well_since_ && now - *well_since_ < kQuiet;
    told_ = told_ || !flaps;
    return {true, !flaps};
  }
  /// True once, when what looked like a flap turned out to be a long outage.
  bool is_overdue(Time now) {
    if (causes_.empty() || told_ || now - began_ < kQuiet) return false;
    told_ = true;
    return true;
  }
  /// No cause of an outage was told since the last time that all was well.
  [[nodiscard]] bool is_well() const { return causes_.empty(); }
  Tell well(Time now) {
    const bool first = !well_since_;
    const bool told = told_;
    well_since_ = now;
    told_ = false;
    causes_.clear();
    return {true, first || told};
  }

 private:
  std::set<std::string> causes_;  ///< of the present outage, already told
  Time began_{};                  ///< the present outage
  std::optional<Time> well_since_;
  bool told_ = false;  ///< the journal knows of the present outage
};

}  // namespace stillwell::report
