#pragma once
// The invariants of a pump, kept apart from the code that must hold them: a watcher that sees only what went
// in and what came out, and says in words which promise was broken.

#include "stillwell/pump/concerns.hpp"
#include "stillwell/pump/pump.hpp"
#include "stillwell/site/kept.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "support/digest.hpp"

namespace support {

class PumpWatch {
 public:
  explicit PumpWatch(const stillwell::Pump& rules) : rules_{rules} {}

  /// Before the scan: what people did since the last one.
  void person_sets(stillwell::Mode mode) { mode_ = mode; }
  void person_sets_hand(stillwell::Instant until) {
    if (mode_ != stillwell::Mode::hand) after_hand_ = mode_;
    mode_ = stillwell::Mode::hand;
    hand_until_ = until;
  }
  void person_releases() { released_ = true; }
  void person_resets() {
    reset_while_moving_ = locked_ && moving_since_ && *last_scan_ - *moving_since_ >= movement_look();
    locked_ = released_ = false;
    dry_trips_ = 0;
    feedback_trips_ = 0;
    rests_until_.reset();
  }

  /// Another daemon begins with what the last one knew, as the disk has it.
  void daemon_restarts(const stillwell::KeptPump& kept);

  /// What is seen of its tank, by its level or by its floats.
  struct Seen {
    bool known = false;
    bool at_start = false;
    bool at_stop = false;
  };
  [[nodiscard]] Seen seen(const stillwell::PumpInputs& in) const;

  /// All that it knows that matters from now on; times count up to the horizon.
  void add_to(Digest& digest) const;

  /// After the scan. Empty when every promise held.
  std::string look(const stillwell::PumpInputs& in, const stillwell::PumpMemory& memory,
                   const stillwell::PumpOutcome& out);

 private:
  using Instant = stillwell::Instant;
  using Duration = stillwell::Duration;
  using Level = stillwell::Level;

  [[nodiscard]] Seen seen_by_floats(const stillwell::FloatStates& floats) const;

  void observe_levels(const stillwell::PumpInputs& in);
  void observe_motor(const stillwell::PumpInputs& in);
  void observe_hand(const stillwell::PumpInputs& in);
  void observe_water(const stillwell::PumpInputs& in);
  void observe_movement(const stillwell::PumpInputs& in);
  void observe_isolator(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out);
  std::string guards_broken(const stillwell::PumpInputs& in) const;
  std::string water_broken(const stillwell::PumpInputs& in) const;
  [[nodiscard]] std::string isolator_broken(const stillwell::PumpOutcome& out) const;
  /// Within any two of its times a movement must have been found.
  [[nodiscard]] Duration movement_look() const {
    return 2 * rules_.unasked->within + std::chrono::seconds{2};
  }
  [[nodiscard]] std::string movement_broken(const stillwell::PumpInputs& in) const;
  [[nodiscard]] bool fills_to_a_high_float() const {
    return rules_.floats && rules_.floats->high && rules_.duty == stillwell::Duty::fill;
  }
  [[nodiscard]] bool is_blind(const stillwell::PumpInputs& in) const;
  std::string dry_broken(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out);
  std::string feedback_broken(const stillwell::PumpOutcome& out);
  static void keep_since(std::optional<Instant>& since, bool holds, Instant now);
  std::string levels_broken(const stillwell::PumpInputs& in) const;
  std::string witnesses_broken(const stillwell::PumpInputs& in) const;
  std::string start_broken(const stillwell::PumpInputs& in) const;
  std::string run_broken(const stillwell::PumpInputs& in) const;
  std::string story_broken(const stillwell::PumpOutcome& out) const;
  std::string state_broken(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out) const;
  std::string first_out_broken(const stillwell::PumpMemory& memory, const stillwell::PumpOutcome& out) const;
  [[nodiscard]] bool window_open(const stillwell::PumpInputs& in) const;
  void settle(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out);

  stillwell::Pump rules_;
  stillwell::Mode mode_ = stillwell::Mode::automatic;
  stillwell::Mode after_hand_ = stillwell::Mode::automatic;
  Instant hand_until_{};
  bool in_hand_ = false;
  std::optional<Instant> unknown_since_;
  std::optional<Instant> no_flow_since_;
  std::optional<Instant> idle_since_;
  std::vector<std::pair<Instant, double>> way_;  ///< levels seen in this run
  int dry_trips_ = 0;                            ///< in a row
  int feedback_trips_ = 0;                       ///< likewise
  std::optional<Instant> rests_until_;
  bool locked_ = false;
  bool released_ = false;
  bool was_on_ = false;
  [[nodiscard]] bool is_tripped(const stillwell::PumpOutcome& out) const;
  bool was_tripped_ = false;
  bool asked_ = false;           ///< the level asked since it last had enough
  bool suction_earned_ = false;  ///< seen at its clear level since it was last below its trip
  std::optional<Instant> began_;
  std::optional<Instant> changed_;        ///< the last change of order
  std::optional<Instant> maybe_running_;  ///< last instant at which the motor may have run
  std::optional<Instant> unconfirmed_since_;
  std::optional<Instant> not_following_since_;
  std::optional<stillwell::Order> isolator_;  ///< as it was last ordered
  std::optional<Instant> isolator_changed_;
  std::optional<Instant> moving_since_;  ///< off, confirmed, and in each scan its way as fast as it may not
  std::optional<Level> last_tank_;
  bool reset_while_moving_ = false;
  std::optional<Instant> last_scan_;
  bool dropped_ = false;
  bool had_enough_ = false;             ///< in hand, it has been at its stop level
  bool forgot_ = false;                 ///< what a person said, over a restart
  bool was_closed_ = false;             ///< its contact was confirmed on since it was ordered so
  std::optional<Instant> noted_since_;  ///< it has said since then that it is about to start
  std::vector<Instant> starts_;
};

// ---------------------------------------------------------------------------------------------------------

/// A high float that cannot be read blinds a fill pump alone.
inline PumpWatch::Seen PumpWatch::seen_by_floats(const stillwell::FloatStates& floats) const {
  using namespace stillwell;
  const bool fills = rules_.duty == Duty::fill;
  const bool has_high = floats.high && (fills || floats.high->on);
  std::vector<std::optional<bool>> up{floats.lower.on, floats.upper.on};
  if (has_high) up.push_back(floats.high->on);
  if (std::count(up.begin(), up.end(), std::nullopt) > 0) return {};
  const auto reached = static_cast<std::size_t>(std::count(up.begin(), up.end(), true));
  for (std::size_t at = 0; at < up.size(); ++at)
    if (*up[at] != (at < reached)) return {};  // no water stands so
  const bool below = reached == 0;
  const bool above = reached >= 2;
  return {.known = true, .at_start = fills ? below : above, .at_stop = fills ? above : below};
}

inline PumpWatch::Seen PumpWatch::seen(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  if (rules_.floats) return in.floats ? seen_by_floats(*in.floats) : Seen{};
  if (!in.tank.usable()) return {};
  if (rules_.duty == Duty::fill)
    return {.known = true,
            .at_start = in.tank.highest() <= rules_.start_level,
            .at_stop = in.tank.highest() >= rules_.stop_level};
  return {.known = true,
          .at_start = in.tank.lowest() >= rules_.start_level,
          .at_stop = in.tank.lowest() <= rules_.stop_level};
}

inline void PumpWatch::observe_levels(const stillwell::PumpInputs& in) {
  using namespace stillwell;
  const bool fills = rules_.duty == Duty::fill;
  const Seen water = seen(in);
  if (water.at_start) asked_ = true;
  if (water.at_stop || !water.known) asked_ = false;  // nothing is inferred from the last good value
  const std::optional<Level> suction = fills ? in.source : std::optional{in.tank};
  if (!rules_.source_below || !suction || !suction->usable()) return;
  if (suction->lowest() < *rules_.source_below) suction_earned_ = false;
  if (suction->lowest() >= rules_.source_clear.value_or(*rules_.source_below)) suction_earned_ = true;
}

inline void PumpWatch::observe_motor(const stillwell::PumpInputs& in) {
  const bool is_read = in.contact.on && in.contact.at >= changed_.value_or(in.contact.at) &&
                       in.now - in.contact.at <= rules_.contact_within;
  const bool confirmed = is_read && *in.contact.on == was_on_;
  keep_since(unconfirmed_since_, !confirmed, in.now);
  dropped_ = was_on_ && was_closed_ && is_read && !*in.contact.on;
  was_closed_ = was_on_ && (was_closed_ || confirmed);
  const bool is_seen = rules_.feedback && in.feedback && in.feedback->on;
  keep_since(not_following_since_, confirmed && is_seen && *in.feedback->on != was_on_, in.now);
  // Rule 11: as long as its off is not believed it may be running, and its rest has not begun.
  const auto lasts = [&](const std::optional<Instant>& since, stillwell::Duration limit) {
    return since && in.now - *since > limit;
  };
  const bool is_believed_off = !lasts(unconfirmed_since_, rules_.contact_within) &&
                               !(rules_.feedback && lasts(not_following_since_, rules_.feedback->within));
  if (!was_on_ && !is_believed_off) maybe_running_ = in.now;
}

/// The instant since which a condition has held without a break.
inline void PumpWatch::keep_since(std::optional<Instant>& since, bool holds, Instant now) {
  if (!holds) since.reset();
  if (holds && !since) since = now;
}

/// Hand is over: what it had begun nobody asked for.
inline void PumpWatch::observe_hand(const stillwell::PumpInputs& in) {
  using namespace stillwell;
  if (mode_ == Mode::hand && in.now >= hand_until_) mode_ = after_hand_;
  const bool panel = mode_ == Mode::automatic && in.selector_hand && in.selector_hand->on == true;
  const bool now = mode_ == Mode::hand || panel;
  if (in_hand_ && !now && !in.called) asked_ = false;  // of a set the level asks, not the pump
  in_hand_ = now;
  had_enough_ = in_hand_ && (had_enough_ || seen(in).at_stop);
}

inline bool PumpWatch::is_blind(const stillwell::PumpInputs& in) const {
  if (!rules_.when_unknown || !unknown_since_) return false;
  const Duration blind = in.now - *unknown_since_ - std::chrono::minutes{1};
  return blind.count() >= 0 && blind % rules_.when_unknown->every < rules_.when_unknown->run_for;
}

/// What the flow switch, the meter and the tank have shown of this run, as it was before this scan.
inline void PumpWatch::observe_water(const stillwell::PumpInputs& in) {
  keep_since(unknown_since_, !seen(in).known && !in.is_out, in.now);
  const auto& dry = rules_.dry_run;
  keep_since(no_flow_since_, was_on_ && dry.flow && in.flow && in.flow->on == false, in.now);
  keep_since(idle_since_,
             was_on_ && dry.power && in.load && in.load->load && *in.load->load < dry.power->below, in.now);
  if (!was_on_ || !in.tank.usable()) way_.clear();
  if (was_on_ && in.tank.usable()) way_.emplace_back(in.now, in.tank.level->value());
}

/// Rule 12: while it is off and nobody else moves its tank, each scan that moves it as fast as it may not.
inline void PumpWatch::observe_movement(const stillwell::PumpInputs& in) {
  if (!rules_.unasked) return;
  const double sign = rules_.duty == stillwell::Duty::fill ? 1.0 : -1.0;
  const bool quiet = !was_on_ && !unconfirmed_since_ && !in.is_helped && in.tank.usable() &&
                     in.tank.quality == stillwell::Quality::good;
  const bool moved = quiet && last_tank_ && last_tank_->usable() && last_scan_ &&
                     sign * (*in.tank.level - *last_tank_->level).value() >=
                         rules_.unasked->at_least.value() * stillwell::seconds_of(in.now - *last_scan_);
  if (moved && !moving_since_) moving_since_ = last_scan_;
  if (!moved) moving_since_.reset();
  last_tank_ = quiet ? std::optional{in.tank} : std::nullopt;
  last_scan_ = in.now;
}

/// When the isolator was told to be what it is told now.
inline void PumpWatch::observe_isolator(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out) {
  if (isolator_ != out.isolator) isolator_changed_ = in.now;
  isolator_ = out.isolator;
}

/// What people said and what failed goes on; what was under way is over, and counts from the next scan.
inline void PumpWatch::daemon_restarts(const stillwell::KeptPump& kept) {
  forgot_ = kept.mode != (mode_ == stillwell::Mode::hand ? after_hand_ : mode_) || kept.released != released_;
  mode_ = kept.mode;
  locked_ = kept.lock_out.has_value();
  released_ = kept.released;
  was_tripped_ = kept.tripped && !locked_;
  dry_trips_ = kept.dry_failures;
  feedback_trips_ = kept.feedback_failures;
  if (!kept.dry_cause) rests_until_.reset();
  in_hand_ = had_enough_ = was_on_ = asked_ = suction_earned_ = false;
  for (auto* since : {&unknown_since_, &no_flow_since_, &idle_since_, &unconfirmed_since_,
                      &not_following_since_, &noted_since_, &began_, &changed_, &maybe_running_})
    since->reset();
  dropped_ = was_closed_ = false;
  way_.clear();
  isolator_changed_.reset();
  moving_since_.reset();
  last_tank_.reset();
}

inline void PumpWatch::add_to(Digest& digest) const {
  digest.add(mode_);
  if (mode_ == stillwell::Mode::hand) {
    digest.add(after_hand_);
    digest.add_ahead(hand_until_);
  }
  for (const bool flag : {in_hand_, had_enough_, locked_, released_, was_closed_, was_on_, was_tripped_,
                          asked_, suction_earned_})
    digest.add(flag);
  digest.add(dry_trips_);
  digest.add(feedback_trips_);
  digest.add_ahead(rests_until_.value_or(Instant{}));
  if (rules_.when_unknown)
    digest.add_periodic(unknown_since_, std::chrono::minutes{1}, rules_.when_unknown->every);
  for (const auto& since : {no_flow_since_, idle_since_, unconfirmed_since_, not_following_since_,
                            noted_since_, began_, changed_, maybe_running_})
    digest.add_age(since);
  if (rules_.limits.starts_per_hour > 0) digest.add_starts(starts_);
  digest.add(isolator_);
  if (rules_.isolator) digest.add_age(isolator_changed_);
  if (!rules_.unasked) return;
  digest.add_age(moving_since_);
  digest.add(Duration{last_tank_ && last_tank_->level ? std::llround(last_tank_->level->value() * 1e4) : -1});
}

inline void PumpWatch::settle(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out) {
  using namespace stillwell;
  const bool on = out.order == Order::on;
  if (on && !was_on_) starts_.push_back(in.now);
  if (on != was_on_) {
    changed_ = in.now;
    unconfirmed_since_.reset();  // the new order is asked about from the next scan on
    not_following_since_.reset();
  }
  if (on || was_on_) maybe_running_ = in.now;
  keep_since(noted_since_, !on && out.state == PumpState::starting, in.now);
  was_on_ = on;
  was_tripped_ = is_tripped(out);
}

}  // namespace support

#include "support/bench_watch_promises.hpp"
