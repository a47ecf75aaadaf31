#include "stillwell/pump/causes.hpp"

#include <array>

namespace stillwell {
namespace {

using enum Verdict;
constexpr bool kAtOnce = false;
constexpr bool kWaitsForMinimumRun = true;
constexpr bool kInHand = true;
constexpr bool kNotInHand = false;
constexpr Turn kKeepsTurn = Turn::keeps;
constexpr Turn kPassesOn = Turn::passes_on;
constexpr Turn kPassesOnAlone = Turn::passes_on_alone;

constexpr std::array kCauses{
    CauseRow{Cause::stuck_on, "stuck-on", lock_out, Returns::by_a_person, kAtOnce, kInHand, kPassesOn,
             "feedback, meter, flow or level", "the contact is off and the motor runs",
             "Isolate the motor by hand, look for a welded contactor, then reset"},
    CauseRow{Cause::contact_unreachable, "contact-unreachable", trip, Returns::by_itself, kAtOnce, kInHand,
             kPassesOn, "contact read-back", "the contact is not confirmed to be what it was ordered to be",
             "Treat the pump as live; check the relay module, its supply and the line"},
    CauseRow{Cause::isolator, "isolator", stop, Returns::by_itself, kAtOnce, kInHand, kPassesOn,
             "isolator contact", "its isolator is not confirmed closed",
             "Close the isolator; check its relay module and the line"},
    CauseRow{Cause::selector, "selector", stop, Returns::by_itself, kAtOnce, kInHand, kPassesOn,
             "selector switch", "the selector at the panel says off", "Turn the selector"},
    CauseRow{Cause::tank_unknown, "tank-unknown", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "tank level", "the level of its tank is not known", "Look at the tank, its gauge or its floats"},
    CauseRow{Cause::source_unknown, "source-unknown", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "level at the far end",
             "the level of the other tank (suction, or a drain pump's receiver) is not known",
             "Look at that tank and its gauge"},
    CauseRow{Cause::switch_unknown, "switch-unknown", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "switches it relies on", "a switch it relies on cannot be read",
             "Check the input module, its supply and the line"},
    CauseRow{Cause::meter_unknown, "meter-unknown", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "meter in its supply", "the meter of its motor cannot be read",
             "Check the meter, its supply and the line"},
    CauseRow{Cause::source_low, "source-low", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "suction level", "the suction level is below source_below",
             "Wait for the source to recover to source_clear"},
    CauseRow{Cause::source_float, "source-float", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "suction float", "the float on the suction side says dry",
             "Wait for the source to recover; check the float"},
    CauseRow{Cause::tank_high, "tank-high", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "tank level", "the tank is above its high trip", "Find out why the stop level did not stop it"},
    CauseRow{Cause::source_high, "source-high", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "receiver level", "the receiver of a drain pump is above its high trip",
             "Make room in the receiver"},
    CauseRow{Cause::float_switch, "float", trip, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "float switch", "the trip float is on", "Look at the tank; check the float"},
    CauseRow{Cause::no_feedback, "no-feedback", trip, Returns::by_itself, kAtOnce, kInHand, kPassesOn,
             "feedback switch",
             "the contact is on and the motor is not seen running; the second time in a row locks out",
             "Check fuse, overload relay, contactor and the wire of the feedback"},
    CauseRow{Cause::no_flow, "no-flow", trip, Returns::counts, kAtOnce, kInHand, kKeepsTurn, "flow switch",
             "it runs and no flow is seen",
             "Look for a dry suction, a closed valve or an airlock; check the flow switch"},
    CauseRow{Cause::no_power, "no-power", trip, Returns::counts, kAtOnce, kInHand, kKeepsTurn,
             "meter in its supply",
             "it runs and its motor takes less than it should: it runs dry, or the coupling is broken",
             "Look at the suction, the coupling and the fuses"},
    CauseRow{Cause::no_rise, "no-rise", trip, Returns::counts, kAtOnce, kInHand, kKeepsTurn,
             "level of its tank", "it runs and the level of its tank does not follow",
             "Look for a dry suction, a closed valve, a burst pipe or a worn pump"},
    CauseRow{Cause::over_time, "over-time", lock_out, Returns::by_a_person, kAtOnce, kInHand, kKeepsTurn,
             "run time", "it ran longer than run_at_most",
             "Look for a leak, a closed valve or a worn pump, then reset"},
    CauseRow{Cause::peer_dry, "peer-dry", stop, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "other pumps on its suction", "another pump on the same suction has run dry",
             "Look at the suction; then reset the pump that ran dry"},
    CauseRow{Cause::needs, "needs", stop, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "pumps and valves that it needs", "what must be proved on before it is not",
             "Look at what it needs and why that does not run"},
    CauseRow{Cause::mode_off, "mode-off", stop, Returns::by_a_person, kAtOnce, kInHand, kPassesOn, "mode",
             "it was switched off by a person", "Set its mode to auto"},
    CauseRow{Cause::service_out, "service-out", stop, Returns::by_a_person, kAtOnce, kInHand, kPassesOn,
             "service", "it, or a tank that it touches, is out of service",
             "Finish the work, then put it back in service"},
    CauseRow{Cause::command, "command", stop, Returns::by_a_person, kAtOnce, kInHand, kPassesOn, "release",
             "every contact was released by a person, and it has not been reset since",
             "Find out why everything was switched off, then reset each pump"},
    CauseRow{Cause::hand_ended, "hand-ended", stop, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn, "mode",
             "it is no longer in hand, and its level does not ask for it",
             "Set it to hand again, if it must run on"},
    CauseRow{Cause::window, "window", stop, Returns::by_itself, kWaitsForMinimumRun, kNotInHand, kKeepsTurn,
             "local time", "outside its allowed hours, or the clock is not trusted",
             "Wait, or set the clock"},
    CauseRow{Cause::flow_stuck, "flow-stuck", hold_start, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "flow switch", "flow is seen although it is off",
             "Check the flow switch, and the valve that should keep the water from running back"},
    CauseRow{Cause::power_up, "power-up", hold_start, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "time since start-up", "after_power_up has not passed", "Wait"},
    CauseRow{Cause::stagger, "stagger", hold_start, Returns::by_itself, kAtOnce, kInHand, kKeepsTurn,
             "other pumps", "another pump has just started", "Wait"},
    CauseRow{Cause::rest, "rest", hold_start, Returns::by_itself, kAtOnce, kInHand, kPassesOnAlone,
             "time since the last stop", "off_at_least has not passed", "Wait"},
    CauseRow{Cause::starts, "starts", hold_start, Returns::by_itself, kAtOnce, kInHand, kPassesOnAlone,
             "starts within an hour", "starts_per_hour are spent",
             "Wait; if it comes often, widen the start and stop levels"},
};

}  // namespace

std::span<const CauseRow> cause_table() {
  return kCauses;
}
const CauseRow& row_of(Cause cause) {
  return kCauses.at(static_cast<std::size_t>(cause));
}
std::string_view to_word(Cause cause) {
  return row_of(cause).word;
}

std::string_view to_word(Verdict verdict) {
  switch (verdict) {
    case permit: return "permit";
    case hold_start: return "hold-start";
    case stop: return "stop";
    case trip: return "trip";
    case lock_out: return "lock-out";
  }
  return "lock-out";
}

std::string_view to_word(Returns returns) {
  switch (returns) {
    case Returns::by_itself: return "by itself";
    case Returns::counts: return "by itself, counted";
    case Returns::by_a_person: return "by a person";
  }
  return "by a person";
}

std::string_view to_word(Turn turn) {
  switch (turn) {
    case Turn::keeps: return "keeps its turn";
    case Turn::passes_on: return "passes it on";
    case Turn::passes_on_alone: return "passes it on, if alone";
  }
  return "keeps its turn";
}

}  // namespace stillwell
