#pragma once
// Every state that a small pump can get into, and every way on from each: breadth first from a daemon's first
// scan, until nothing new is found. The watcher goes along, so that a state is the machine's and the
// watcher's together, and judges each step.

#include "stillwell/report/state_json.hpp"

#include <cstddef>
#include <deque>
#include <optional>
#include <set>
#include <string>
#include <unordered_set>
#include <utility>
#include <vector>

#include "support/bench_pump.hpp"
#include "support/bench_watch.hpp"
#include "support/digest.hpp"

namespace proof {

using namespace stillwell;

/// What a wire shows beside what was ordered.
enum class Shows : std::uint8_t { as_ordered, contrary, nothing, late };

enum class Person : std::uint8_t {
  nobody,
  off,
  automatic,
  hand,
  reset,
  release,
  network_off,
  network_automatic,
  network_reset
};

/// What may happen in a scan: everything of one list with everything of the others.
struct Alphabet {
  std::vector<Level> tank;
  std::vector<Level> far_end{support::known(1.5)};  ///< suction, or a drain pump's receiver
  std::vector<std::optional<FloatStates>> floats{std::nullopt};
  std::vector<Shows> contact{Shows::as_ordered};
  std::vector<Shows> motor{Shows::as_ordered};
  std::vector<Shows> flow{Shows::as_ordered};
  std::vector<Shows> load{Shows::as_ordered};
  std::vector<Shows> isolator{Shows::as_ordered};
  std::vector<std::optional<bool>> panel_off{false};
  std::vector<std::optional<bool>> panel_hand{false};
  std::vector<bool> is_out{false};
  std::vector<bool> is_helped{false};
  std::vector<bool> peer_is_dry{false};
  std::vector<bool> has_needs{true};
  std::vector<bool> may_join{true};
  std::vector<std::optional<Duration>> disk{std::nullopt};  ///< how far behind; empty: nothing is kept
  std::vector<std::optional<int>> minute{std::nullopt};
  std::vector<Person> person{Person::nobody};
  std::vector<Duration> later{std::chrono::seconds{1}};
  bool restarts = true;  ///< and at any scan another daemon may begin with what was kept
};

struct Machine {
  std::string name;
  Pump pump;
  Alphabet alphabet;
  Duration hand_lasts = std::chrono::seconds{3};
  Duration horizon = std::chrono::seconds{20};  ///< beyond all its timers
};

struct Explored {
  std::size_t states = 0;
  std::size_t steps = 0;
  bool finished = false;   ///< nothing was left to try
  std::set<Cause> causes;  ///< that held, stopped or locked out
  std::string broken;      ///< the first promise that was, with the way to it; empty when none was
};

/// At most so many states; beyond them it is not finished.
Explored explore(const Machine& machine, std::size_t most_states);

}  // namespace proof
