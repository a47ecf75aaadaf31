#include "stillwell/pump/concerns.hpp"

#include "stillwell/pump/motor_evidence.hpp"

#include <algorithm>
#include <array>

namespace stillwell {
namespace {

/// When the question behind a cause is asked at all.
enum class Asked : std::uint8_t {
  always,
  unless_out,     ///< what levels and floats show while a person works there says nothing
  while_running,  ///< of a pump that is ordered on
};

struct Concern {
  Cause cause;
  Asked asked;
  bool (*of)(const Pump&);
};

bool every(const Pump& /*pump*/) {
  return true;
}
bool fills(const Pump& pump) {
  return pump.duty == Duty::fill;
}
bool has_feedback(const Pump& pump) {
  return pump.feedback.has_value();
}
bool shows_its_motor(const Pump& pump) {
  return has_witness(pump) || pump.unasked;
}
/// The suction of a fill pump, the receiver of a drain pump.
bool needs_another_level(const Pump& pump) {
  return fills(pump) ? pump.source && pump.source_is_measured : pump.receiver.has_value();
}
bool has_trip_float(const Pump& pump) {
  return pump.float_trip || (fills(pump) && pump.floats && pump.floats->high);
}
bool reads_switches(const Pump& pump) {
  return pump.floats || pump.float_trip || pump.source_float || pump.feedback || pump.dry_run.flow ||
         pump.selector.off || pump.selector.hand;
}

using enum Asked;

constexpr std::array kConcerns{
    Concern{Cause::stuck_on, always, shows_its_motor},
    Concern{Cause::contact_unreachable, always, every},
    Concern{Cause::isolator, always, [](const Pump& p) { return p.isolator.has_value(); }},
    Concern{Cause::selector, unless_out, [](const Pump& p) { return p.selector.off.has_value(); }},
    Concern{Cause::tank_unknown, unless_out, every},
    Concern{Cause::source_unknown, unless_out, needs_another_level},
    Concern{Cause::switch_unknown, unless_out, reads_switches},
    Concern{Cause::meter_unknown, unless_out, [](const Pump& p) { return p.dry_run.power.has_value(); }},
    Concern{Cause::source_low, unless_out, [](const Pump& p) { return suction_of(p) && p.source_below; }},
    Concern{Cause::source_float, unless_out, [](const Pump& p) { return p.source_float.has_value(); }},
    Concern{Cause::tank_high, unless_out, [](const Pump& p) { return fills(p) && p.high_trip; }},
    Concern{Cause::source_high, unless_out,
            [](const Pump& p) { return !fills(p) && p.receiver && p.high_trip; }},
    Concern{Cause::float_switch, unless_out, has_trip_float},
    Concern{Cause::no_feedback, while_running, has_feedback},
    // Found while it runs; then the pump rests for it, whatever its mode.
    Concern{Cause::no_flow, unless_out, [](const Pump& p) { return p.dry_run.flow.has_value(); }},
    Concern{Cause::no_power, unless_out, [](const Pump& p) { return p.dry_run.power.has_value(); }},
    Concern{Cause::no_rise, unless_out, [](const Pump& p) { return p.dry_run.rise.has_value(); }},
    Concern{Cause::over_time, while_running,
            [](const Pump& p) { return p.limits.run_at_most > Duration{0}; }},
    Concern{Cause::peer_dry, unless_out, [](const Pump& p) { return suction_of(p).has_value(); }},
    Concern{Cause::needs, unless_out, [](const Pump& p) { return !p.needs.empty(); }},
    Concern{Cause::mode_off, always, every},
    Concern{Cause::service_out, always, every},
    Concern{Cause::command, always, every},
    Concern{Cause::hand_ended, while_running, every},
    Concern{Cause::window, always, [](const Pump& p) { return !p.allowed.empty(); }},
    Concern{Cause::flow_stuck, always, [](const Pump& p) { return p.dry_run.flow.has_value(); }},
    Concern{Cause::power_up, always, [](const Pump& p) { return p.limits.after_power_up > Duration{0}; }},
    Concern{Cause::stagger, always, every},
    Concern{Cause::rest, always, [](const Pump& p) { return p.limits.off_at_least > Duration{0}; }},
    Concern{Cause::starts, always, [](const Pump& p) { return p.limits.starts_per_hour > 0; }},
};

constexpr bool is_in_order_of_causes() {
  for (std::size_t at = 0; at < kConcerns.size(); ++at)
    if (static_cast<std::size_t>(kConcerns[at].cause) != at) return false;
  return kConcerns.back().cause == Cause::starts;
}
static_assert(is_in_order_of_causes(), "one row for each cause, in the order of the cause table");

const Concern& concern_of(Cause cause) {
  return kConcerns.at(static_cast<std::size_t>(cause));
}

/// Whether it says that the motor may run although it is ordered off: no standing makes that harmless.
bool says_that_it_may_run(Cause cause) {
  return cause == Cause::stuck_on || cause == Cause::contact_unreachable;
}

/// Whether it is what makes a pump stand so.
bool brings(Cause cause, Standing standing) {
  return cause == (standing == Standing::off ? Cause::mode_off : Cause::service_out);
}

bool is_asked(Cause cause, Standing standing) {
  const Asked asked = concern_of(cause).asked;
  return asked == Asked::always || (asked == Asked::unless_out && standing == Standing::off);
}

}  // namespace

bool concerns(Cause cause, const Pump& pump) {
  return concern_of(cause).of(pump);
}

std::vector<Cause> causes_of(const Pump& pump) {
  std::vector<Cause> causes;
  for (const CauseRow& row : cause_table())
    if (concerns(row.cause, pump)) causes.push_back(row.cause);
  return causes;
}

std::string_view to_word(Standing standing) {
  switch (standing) {
    case Standing::automatic: return "auto";
    case Standing::in_hand: return "hand";
    case Standing::off: return "off";
    case Standing::out_of_service: return "service-out";
  }
  return "off";
}

Verdict verdict_in(Standing standing, Cause cause) {
  const CauseRow& row = row_of(cause);
  const Verdict verdict = row.verdict;
  if (standing == Standing::automatic) return verdict;
  if (standing == Standing::in_hand) return row.in_hand ? verdict : Verdict::permit;
  if (!is_asked(cause, standing)) return Verdict::permit;
  if (says_that_it_may_run(cause) || brings(cause, standing)) return verdict;
  return std::min(verdict, Verdict::hold_start);  // there is nothing left to stop
}

}  // namespace stillwell
