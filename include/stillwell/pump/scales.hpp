#pragma once
// Where the objections of one scan are gathered. A question is answered *yes* only by evidence that is there.

#include "stillwell/pump/causes.hpp"

#include <vector>

namespace stillwell {

/// A cause that holds, and how hard: the row's own verdict, or hold_start while it is only suspected.
struct Objection {
  Cause cause;
  Verdict verdict;
};

class Scales {
 public:
  /// `in_hand`: what does not count in hand is not weighed (rule 17).
  explicit Scales(bool in_hand) : in_hand_{in_hand} {}

  void add(Cause cause) { add(cause, row_of(cause).verdict); }
  void add(Cause cause, Verdict verdict) {
    if (row_of(cause).in_hand || !in_hand_) objections_.push_back({cause, verdict});
  }
  void suspect(Cause cause) { add(cause, Verdict::hold_start); }
  void add(Cause cause, bool permitted) {
    if (!permitted) add(cause);
  }

  /// Worst first; equal ones in the order of the cause table; each cause once.
  std::vector<Objection> worst_first();

 private:
  bool in_hand_;
  std::vector<Objection> objections_;
};

}  // namespace stillwell
