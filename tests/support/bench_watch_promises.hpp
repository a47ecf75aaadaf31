#pragma once
// What a watcher of a pump holds it to: each function names the promise that was broken, or none.

#include "support/bench_watch.hpp"

namespace support {

/// Rule 12: it is closed only above a contact that is confirmed off.
inline std::string PumpWatch::isolator_broken(const stillwell::PumpOutcome& out) const {
  using namespace stillwell;
  const bool closes = rules_.isolator && out.isolator == Order::on && isolator_ != Order::on;
  return closes && (unconfirmed_since_ || was_on_) ? "its isolator closed above a contact not confirmed off"
                                                   : "";
}

inline std::string PumpWatch::movement_broken(const stillwell::PumpInputs& in) const {
  if (reset_while_moving_) return "reset although its tank moves unasked";
  if (!moving_since_ || locked_) return "";
  return in.now - *moving_since_ < movement_look() ? "" : "its tank moves unasked, and it is not locked out";
}

/// Of a pump that is ordered on after this scan: the panel, the isolator, its fellows, and what must be
/// known.
inline std::string PumpWatch::guards_broken(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  const auto off = [](const std::optional<SwitchState>& input) { return input && input->on == false; };
  const auto known = [](const std::optional<SwitchState>& input) { return input && input->on.has_value(); };
  if (rules_.selector.off && !off(in.selector_off)) return "on with the panel off or unknown";
  if (rules_.selector.hand && !known(in.selector_hand)) return "on with the panel unknown";
  if (rules_.dry_run.flow && !known(in.flow)) return "on with its flow switch unknown";
  if (rules_.dry_run.power && !(in.load && in.load->load)) return "on with its meter unknown";
  if (in.peer_is_dry) return "on while a pump on the same suction is dry";
  if (!in.has_needs) return "on without what it needs";
  if (rules_.isolator && !(in.isolator && in.isolator->on == true)) return "on with its isolator open";
  if (rules_.isolator && in.isolator->at < isolator_changed_.value_or(in.isolator->at))
    return "on by what its isolator showed before it was told to close";
  if (rests_until_ && in.now < *rests_until_) return "on while it should rest from a dry run";
  return "";
}

/// Of a pump that was on before this scan and still is.
inline std::string PumpWatch::water_broken(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  const auto& dry = rules_.dry_run;
  if (no_flow_since_ && in.now - *no_flow_since_ >= dry.flow->within) return "on without flow past its time";
  if (idle_since_ && in.now - *idle_since_ >= dry.power->lasts) return "on without load past its time";
  if (!dry.rise) return "";
  // Within any two of its times, and the scans between, it must have made one step.
  const Duration look = 2 * dry.rise->within + std::chrono::seconds{10};
  if (way_.empty() || in.now - way_.front().first < look) return "";
  const double sign = rules_.duty == Duty::fill ? 1.0 : -1.0;
  std::optional<double> lowest;
  double gain = 0.0;
  for (const auto& [at, level] : way_) {
    if (in.now - at > look) continue;
    lowest = std::min(lowest.value_or(sign * level), sign * level);
    gain = std::max(gain, sign * level - *lowest);
  }
  const double step = dry.rise->at_least.value() * seconds_of(dry.rise->within);
  return gain >= step ? "" : "on although its tank has not followed";
}

/// The tries after dry runs: each rest at least twice the one before, and no try beyond the last.
inline std::string PumpWatch::dry_broken(const stillwell::PumpInputs& in, const stillwell::PumpOutcome& out) {
  using namespace stillwell;
  const Retry& retry = rules_.dry_run.retry;
  const bool on = out.order == Order::on;
  if (on && was_on_ && in.now - *changed_ >= retry.proved_by) dry_trips_ = feedback_trips_ = 0;
  const bool is_dry = std::any_of(out.events.begin(), out.events.end(), [](const PumpEvent& event) {
    return event.cause && row_of(*event.cause).returns == Returns::counts &&
           event.kind != PumpEvent::Kind::recover;
  });
  if (!is_dry) return "";
  rests_until_ =
      in.now + std::min<Duration>(retry.after * (1LL << std::min(dry_trips_, 10)), std::chrono::hours{24});
  ++dry_trips_;
  if (dry_trips_ > retry.times && !locked_) return "dry once more than it may, and not locked out";
  return "";
}

/// Rule 10: the second time in a row that its motor was not seen running locks it out.
inline std::string PumpWatch::feedback_broken(const stillwell::PumpOutcome& out) {
  using namespace stillwell;
  for (const PumpEvent& event : out.events) {
    if (event.cause != Cause::no_feedback || event.kind == PumpEvent::Kind::recover) continue;
    if (++feedback_trips_ > 1 && !locked_) return "not seen running a second time, and not locked out";
  }
  return "";
}

/// Of a pump that is ordered on after this scan.
inline std::string PumpWatch::levels_broken(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  const bool fills = rules_.duty == Duty::fill;
  if (!seen(in).known && !is_blind(in)) return "on with its tank unknown";
  if (fills && rules_.source && rules_.source_is_measured && !(in.source && in.source->usable()))
    return "on with its source unknown";
  if (!fills && rules_.receiver && !(in.receiver && in.receiver->usable()))
    return "on with its receiver unknown";
  const bool knows_suction = fills ? rules_.source.has_value() : in.tank.usable();
  if (knows_suction && rules_.source_below && !suction_earned_)
    return "on with a suction that is low or has not been well since";
  const std::optional<Level> delivery = fills ? std::optional{in.tank} : in.receiver;
  if (rules_.high_trip && (fills || rules_.receiver) && delivery->usable() &&
      !(delivery->highest() < *rules_.high_trip))
    return "on at or above the high trip";
  if (!asked_ && !(in_hand_ && !had_enough_) && !is_blind(in))
    return "on past its stop level, or without having been asked";
  return "";
}

inline std::string PumpWatch::witnesses_broken(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  const auto says_no = [](const std::optional<SwitchState>& input) { return input && input->on == false; };
  if (rules_.float_trip && !says_no(in.float_trip)) return "on with its float on or unknown";
  if (fills_to_a_high_float() && !says_no(in.floats->high)) return "on with water at its high float";
  if (rules_.source_float && !says_no(in.source_float)) return "on with its suction float on or unknown";
  if (rules_.feedback && !(in.feedback && in.feedback->on)) return "on with its feedback unknown";
  if (mode_ == Mode::off) return "on although a person said off";
  if (in.is_out) return "on although out of service";
  if (released_) return "on although everything was released";
  if (locked_) return "on although locked out";
  return "";
}

inline bool PumpWatch::window_open(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  if (rules_.allowed.empty() || in_hand_) return true;
  if (!in.minute_of_day) return rules_.duty == Duty::drain;
  const int minute = *in.minute_of_day;
  return std::any_of(rules_.allowed.begin(), rules_.allowed.end(), [&](const DayWindow& window) {
    const int length = (window.to - window.from + 1440) % 1440;
    return (minute - window.from + 1440) % 1440 < length;
  });
}

/// Of a pump that was started in this scan.
inline std::string PumpWatch::start_broken(const stillwell::PumpInputs& in) const {
  using namespace stillwell;
  if (in.now - *began_ < rules_.limits.after_power_up) return "started before after_power_up";
  if (in.now - maybe_running_.value_or(*began_) < rules_.limits.off_at_least)
    return "started before its rest was over";
  const auto recent = std::count_if(starts_.begin(), starts_.end(),
                                    [&](Instant start) { return in.now - start < std::chrono::hours{1}; });
  if (rules_.limits.starts_per_hour > 0 && recent >= rules_.limits.starts_per_hour)
    return "started more often than starts_per_hour";
  if (unconfirmed_since_) return "started without a contact confirmed off";
  if (not_following_since_) return "started while its motor was seen running";
  if (in.durable && *in.durable < noted_since_.value_or(in.now)) return "a start that the disk does not have";
  if (!in.may_join) return "started together with another pump";
  if (rules_.dry_run.flow && in.flow && in.flow->on == true) return "started with flow seen before";
  if (rules_.dry_run.power && in.load && in.load->load && *in.load->load >= rules_.dry_run.power->below)
    return "started while its motor took power";
  if (!window_open(in)) return "started outside its window";
  if (in.clock_stepped && !rules_.allowed.empty() && !in_hand_) return "started by a clock that was just set";
  return "";
}

/// Of a pump that was on before this scan and still is.
inline std::string PumpWatch::run_broken(const stillwell::PumpInputs& in) const {
  const Duration run = in.now - *changed_;
  const auto limit = rules_.limits.run_at_most;
  if (limit > Duration{0} && run > limit) return "on for longer than run_at_most";
  if (dropped_) return "on although its contact has dropped out";
  if (unconfirmed_since_ && in.now - *unconfirmed_since_ >= rules_.contact_within)
    return "on with its contact unconfirmed past its time";
  if (not_following_since_ && in.now - *not_following_since_ >= rules_.feedback->within)
    return "on with its motor not following past its time";
  if (!window_open(in) && run >= rules_.limits.on_at_least) return "on past its window and its minimum run";
  return "";
}

/// Out of service it shows no trip: then only what is told counts.
inline bool PumpWatch::is_tripped(const stillwell::PumpOutcome& out) const {
  using namespace stillwell;
  if (out.state != PumpState::out_of_service) return out.state == PumpState::tripped;
  bool tripped = was_tripped_;
  for (const PumpEvent& event : out.events) {
    if (event.kind == PumpEvent::Kind::recover) tripped = false;
    if (event.kind == PumpEvent::Kind::trip) tripped = true;
  }
  return tripped && !locked_;  // the end of a lock-out is a reset, and told as such
}

/// Every change of order has its event in the same scan, and a start or a stop is told of no other.
inline std::string PumpWatch::story_broken(const stillwell::PumpOutcome& out) const {
  using namespace stillwell;
  const bool on = out.order == Order::on;
  const auto is_start = [](const PumpEvent& event) { return event.kind == PumpEvent::Kind::start; };
  const auto is_stop = [](const PumpEvent& event) { return event.kind == PumpEvent::Kind::stop; };
  const auto starts = std::count_if(out.events.begin(), out.events.end(), is_start);
  const auto stops = std::count_if(out.events.begin(), out.events.end(), is_stop);
  const auto is_end = [](const PumpEvent& event) { return event.kind == PumpEvent::Kind::recover; };
  const auto ends = std::count_if(out.events.begin(), out.events.end(), is_end);
  const bool recovered =
      was_tripped_ && out.state != PumpState::tripped && out.state != PumpState::locked_out;
  const bool is_shown = out.state != PumpState::out_of_service;
  if (is_shown && ends != (recovered ? 1 : 0)) return "a trip that ended untold, or an end told of none";
  if (static_cast<std::ptrdiff_t>(out.events.size()) - ends > 1) return "more than one other event in a scan";
  if (on && !was_on_ && starts != 1) return "started without an event";
  if (!on && was_on_ && (out.events.empty() || starts != 0)) return "stopped without an event";
  if (on && was_on_ && !out.events.empty()) return "an event of a pump that just goes on";
  if (!on && !was_on_ && starts + stops != 0) return "a start or stop told of a pump that stays off";
  return "";
}

inline std::string PumpWatch::state_broken(const stillwell::PumpInputs& in,
                                           const stillwell::PumpOutcome& out) const {
  using namespace stillwell;
  const bool on = out.order == Order::on;
  const bool says_on = out.state == PumpState::running || out.state == PumpState::starting;
  if (on && !says_on) return "a state that contradicts the order";
  // Rule 23: about to start, and the disk does not have it yet.
  if (!on && says_on && !(in.durable && *in.durable < noted_since_.value_or(in.now)))
    return "said to start, and neither ordered on nor waiting for the disk";
  const bool is_shown = out.state != PumpState::out_of_service;  // which stands above a lock-out (rule 15)
  if (is_shown && locked_ != (out.state == PumpState::locked_out))
    return "locked out and not saying so, or the reverse";
  if (is_shown && !on && !locked_ && rests_until_ && in.now < *rests_until_ &&
      out.state != PumpState::tripped)
    return "rests from a dry run and does not say that it tripped";
  const bool only_window =
      std::all_of(out.held_by.begin(), out.held_by.end(), [](Cause cause) { return cause == Cause::window; });
  if (on && !only_window) return "on and held by something that does not wait for the minimum run";
  if (!on && !says_on && out.state != PumpState::stopped && out.held_by.empty())
    return "held by nothing that is named";
  const bool is_called = in.called.value_or(true);
  if (!on && !says_on && asked_ && is_called && !locked_ && mode_ != Mode::off && out.held_by.empty() &&
      !was_on_)
    return "asked for, held by nothing, and off";
  for (std::size_t at = 0; at < out.held_by.size(); ++at)
    if (std::count(out.held_by.begin(), out.held_by.end(), out.held_by[at]) != 1)
      return "a cause that is listed twice";
  if (!std::all_of(out.held_by.begin(), out.held_by.end(),
                   [&](Cause cause) { return concerns(cause, rules_); }))
    return "held by a cause of which it was said that it does not concern this pump";
  return "";
}

inline std::string PumpWatch::first_out_broken(const stillwell::PumpMemory& memory,
                                               const stillwell::PumpOutcome& out) const {
  using namespace stillwell;
  for (const PumpEvent& event : out.events) {
    const bool is_trip = event.kind == PumpEvent::Kind::trip || event.kind == PumpEvent::Kind::lock_out;
    if (is_trip && !event.cause) return "a trip without a cause";
    if (is_trip && !memory.first_out) return "a trip without a first-out";
    if (is_trip && was_on_ && memory.first_out != event.cause)
      return "a trip whose first-out is another cause";
    if (event.kind == PumpEvent::Kind::lock_out && !memory.lock_out) return "a lock-out that does not lock";
  }
  return "";
}

inline std::string PumpWatch::look(const stillwell::PumpInputs& in, const stillwell::PumpMemory& memory,
                                   const stillwell::PumpOutcome& out) {
  using namespace stillwell;
  if (!began_) began_ = in.now;
  observe_hand(in);
  observe_levels(in);
  observe_water(in);
  observe_motor(in);
  observe_movement(in);
  const bool on = out.order == Order::on;
  for (const PumpEvent& event : out.events)
    if (event.kind == PumpEvent::Kind::lock_out) locked_ = true;
  std::string broken = forgot_ ? "a restart forgot what a person had said" : story_broken(out);
  if (broken.empty()) broken = first_out_broken(memory, out);
  if (broken.empty()) broken = state_broken(in, out);
  if (broken.empty() && on) broken = guards_broken(in);
  if (broken.empty() && on && was_on_) broken = water_broken(in);
  if (broken.empty()) broken = dry_broken(in, out);
  if (broken.empty()) broken = feedback_broken(out);
  if (broken.empty()) broken = movement_broken(in);
  if (broken.empty()) broken = isolator_broken(out);
  if (broken.empty() && on) broken = levels_broken(in);
  if (broken.empty() && on) broken = witnesses_broken(in);
  if (broken.empty() && on) broken = was_on_ ? run_broken(in) : start_broken(in);
  observe_isolator(in, out);
  settle(in, out);
  return broken;
}

}  // namespace support
