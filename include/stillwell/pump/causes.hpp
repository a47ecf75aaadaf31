#pragma once
// The cause table: every reason that holds, stops, trips or locks out a pump, once. The interlock, the alarm
// text, the journal, the matrix, the schema and the documentation all read these rows and cannot disagree.

#include <cstdint>
#include <span>
#include <string_view>

namespace stillwell {

/// Ordered: the worst of a pump's verdicts wins (rule 1).
enum class Verdict : std::uint8_t { permit, hold_start, stop, trip, lock_out };

enum class Cause : std::uint8_t {
  stuck_on,
  contact_unreachable,
  isolator,
  selector,
  tank_unknown,
  source_unknown,
  switch_unknown,
  meter_unknown,
  source_low,
  source_float,
  tank_high,
  source_high,
  float_switch,
  no_feedback,
  no_flow,
  no_power,
  no_rise,
  over_time,
  peer_dry,
  needs,
  mode_off,
  service_out,
  command,
  hand_ended,
  window,
  flow_stuck,
  power_up,
  stagger,
  rest,
  starts,
};

/// How a cause lets go.
enum class Returns : std::uint8_t {
  by_itself,  ///< when the condition has gone
  counts,     ///< tried again after a rest that doubles each time; after so many tries by a person (rule 10)
  by_a_person,  ///< after a local reset (lock-out) or a change of mode
};

/// Rule 8: what a cause does to the turn of a pump in a set. Never does a dry one send the next after it.
enum class Turn : std::uint8_t {
  keeps,            ///< the set waits for it
  passes_on,        ///< the next one takes over
  passes_on_alone,  ///< likewise, unless another cause keeps the turn
};

struct CauseRow {
  Cause cause;
  std::string_view word;  ///< as users see it
  Verdict verdict;        ///< what it does while it holds
  Returns returns;
  bool waits_for_minimum_run;  ///< false: overrides on_at_least (rule 6)
  bool in_hand;                ///< counts in hand too (rule 17)
  Turn turn;
  std::string_view reads;   ///< what it looks at
  std::string_view text;    ///< what it means
  std::string_view remedy;  ///< what a person does about it
};

/// All rows, in order of Cause, which is also the order in which simultaneous causes are ranked for
/// first-out.
std::span<const CauseRow> cause_table();
const CauseRow& row_of(Cause cause);
std::string_view to_word(Cause cause);
std::string_view to_word(Verdict verdict);
std::string_view to_word(Returns returns);
std::string_view to_word(Turn turn);

}  // namespace stillwell
