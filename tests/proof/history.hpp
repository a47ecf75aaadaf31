#pragma once
// A generated site in random weather: its waters, wires, motors, people, its clock and its disk all do what
// they like, and a watcher for each pump sees only what went in and what came out.

#include "stillwell/report/state_json.hpp"
#include "stillwell/site/solve.hpp"

#include <cstddef>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "proof/set_watch.hpp"
#include "support/bench_seed.hpp"
#include "support/bench_watch.hpp"

namespace proof {

using namespace stillwell;

struct Tally {
  std::size_t scans = 0;  ///< of pumps
  std::size_t sites = 0;
  std::size_t restarts = 0;
  std::size_t cut_short = 0;  ///< restarts before the disk had the newest state
  std::map<Cause, std::size_t> causes;
  std::map<PumpEvent::Kind, std::size_t> kinds;
};

class History {
 public:
  History(const Model& model, support::Dice& dice, Tally& tally);

  /// Empty, or the promise that was broken, and by which pump.
  std::string scan();

 private:
  struct Wire {
    bool on = false;
    int silent_for = 0;  ///< scans
    Instant at{};        ///< of the last answer
    bool said = false;   ///< in it
  };
  struct Relay {
    Wire wire;
    bool closed = false;
    int lag = 0;
    int stuck_for = 0;
    bool dropped = false;  ///< it is not closed again before it was ordered off
    Order last = Order::off;
  };
  struct Water {
    double level = 1.2;
    double drift = 0.0;
    double error = 0.0;
    int silent_for = 0;
  };

  /// What a scan begins with.
  struct Before {
    std::vector<bool> proved;
    std::vector<bool> dry;
    std::vector<bool> in_hand;
  };

  void flow_on();
  void switch_relays();
  void read();
  void show(Wire& wire, bool on);
  /// Once in so many scans something begins that lasts up to so many; true while it does.
  bool troubled(int& lasts, int one_in, int at_most);
  void shift_ends_or_begins();
  void people();
  [[nodiscard]] bool has_working_fellow(std::size_t pump) const;
  void ask(CommandKind kind, std::size_t pump, const std::string& argument);
  void release();
  void hear(const Answer& answer, std::size_t pump, const Command& command);
  void keep_state(const Outcome& outcome);
  void cut_power();
  [[nodiscard]] PumpInputs sight_of(std::size_t pump, const Before& before) const;
  [[nodiscard]] std::optional<SwitchState> switch_of(std::optional<SwitchIndex> input) const;
  [[nodiscard]] PumpOutcome outcome_of(const Outcome& outcome, std::size_t pump) const;
  [[nodiscard]] std::optional<FloatStates> floats_of(const std::optional<TankFloats>& floats) const;
  [[nodiscard]] Before before() const;
  std::string judge(const Outcome& outcome, const Before& before);
  std::string judge_sets(const Outcome& outcome, const Before& before);

  const Model& model_;
  support::Dice& dice_;
  Tally& tally_;
  Memory memory_;
  InputImage image_;
  Instant now_{std::chrono::hours{1000}};
  std::vector<Water> waters_;  ///< by tank
  std::vector<Wire> switches_;
  std::vector<Wire> meters_;
  std::vector<Relay> relays_;  ///< by contact
  std::vector<int> dry_for_;   ///< scans, by pump
  std::vector<int> jams_for_;  ///< scans in which its contactor is not as its contact, by pump
  std::vector<support::PumpWatch> watches_;
  std::vector<SetWatch> set_watches_;
  std::vector<Order> ordered_;                   ///< by contact, in the last scan
  std::vector<std::optional<Instant>> started_;  ///< by pump
  Duration ahead_{};                             ///< the wall clock, of the monotonic one
  bool disk_fails_;  ///< for good: starts wait for nothing then, and the power of such a site is not cut
  std::optional<Instant> stepped_at_;
  bool saw_clock_ = false;  ///< the daemon did
  std::uint64_t number_ = 0;

  struct Written {
    std::string text;
    Instant as_of;
    int lag;  ///< scans until the disk has it
  };
  std::string on_disk_;
  std::deque<Written> waiting_;
  Kept handed_;
};

}  // namespace proof
