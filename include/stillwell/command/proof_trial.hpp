#pragma once
// One cause of a proof test, tried on the running site. Whatever comes of it, the pump is off afterwards and
// nothing is forced.

#include "stillwell/command/proof_session.hpp"
#include "stillwell/pump/pump.hpp"
#include "stillwell/report/proof.hpp"

namespace stillwell::command {

class ProofTrial {
 public:
  ProofTrial(ProofSession& session, const Pump& pump, Duration scan, bool blocked)
      : session_{session}, pump_{pump}, scan_{scan}, blocked_{blocked} {}

  /// Tries the cause of the row, and fills the row in.
  void run(report::ProofRow& row);
  /// Why the proof cannot go on: the lease is lost, or somebody else switches the pump. Empty while it can.
  [[nodiscard]] const std::string& broken_off() const { return broken_off_; }

 private:
  bool stand(report::ProofRow& row);
  bool start(report::ProofRow& row);
  bool bring(report::ProofRow& row);
  void try_running(report::ProofRow& row);
  void try_standing(report::ProofRow& row);
  void try_blocked(report::ProofRow& row);
  void clear_away(const report::ProofRow& row);
  bool waits_in_vain(report::ProofRow& row, const report::PumpStatus& seen, Instant& held_since);
  bool break_off(report::ProofRow& row, std::string why);
  [[nodiscard]] Duration bound_of(Cause cause) const;

  ProofSession& session_;
  const Pump& pump_;
  Duration scan_;
  bool blocked_;
  std::string broken_off_;
};

}  // namespace stillwell::command
