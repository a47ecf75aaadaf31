#pragma once
// The promises of a pump set, kept apart from the code that must hold them: whose turn it is, how many may
// run, and that a turn is taken from nobody who keeps it.

#include "stillwell/site/solve.hpp"

#include <optional>
#include <string>
#include <vector>

namespace proof {

using namespace stillwell;

class SetWatch {
 public:
  explicit SetWatch(const PumpSet& set) : set_{set}, held_by_(set.pumps.size()) {}

  /// Of a member in this scan.
  struct Seen {
    bool was_on = false;
    bool was_in_hand = false;  ///< before the scan
    bool on = false;
    bool by_itself = false;  ///< on or off by its set: neither in hand nor blind
    bool noted = false;      ///< about to start, once the disk has it
    std::vector<Cause> held_by;
  };
  /// What the tank asks for, by a member that speaks for all.
  struct Asked {
    bool known = false;
    bool at_start = false;
    bool at_second = false;
    bool at_stop = false;
  };

  /// Empty, or the promise that was broken.
  std::string look(const Asked& asked, const std::vector<Seen>& members);
  /// `last`: who started last, as the next daemon was told.
  void daemon_restarts(std::optional<std::size_t> last);

 private:
  [[nodiscard]] std::vector<std::size_t> turn() const;
  [[nodiscard]] bool may_start(std::size_t member, const std::vector<Seen>& members) const;
  [[nodiscard]] bool is_passed_over(std::size_t member) const;
  [[nodiscard]] std::string broken_by(const std::vector<Seen>& members) const;

  PumpSet set_;
  std::size_t wanted_ = 0;
  std::optional<std::size_t> last_;          ///< to start
  std::vector<std::size_t> noted_;           ///< have been about to since then
  bool forgot_ = false;                      ///< whose turn it is, over a restart
  std::vector<std::vector<Cause>> held_by_;  ///< in the last scan
  bool waited_ = false;                      ///< the one whose turn it is was free to start, and did not
};

}  // namespace proof
