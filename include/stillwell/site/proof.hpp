#pragma once
// The proof test as the site holds it: one at a time, under a lease that ends in *off* (rule 18). The steps
// come as commands, `prove PUMP STEP`: begin, keep (nothing changes), hand, off, a cause to force, free
// (force nothing), end. A person who sets the pump's mode meanwhile, or takes it or a tank of it out of
// service, ends the proof.

#include "stillwell/site/solve.hpp"

#include <string>

namespace stillwell {

struct ProofReply {
  bool done = false;
  std::string text;
  bool is_news = true;  ///< false: the lease was renewed and nothing else
};

/// What a step comes to. Every step that is carried out renews the lease.
ProofReply step_proof(const Model& model, Memory& memory, const Command& command, Instant now);

/// A person took the pump of the proof, or a tank that it touches, out of service: the proof is over, and the
/// pump off also when it is put back in (rule 15). False when there is no such proof.
bool yield_to_service(const Model& model, Memory& memory);

/// Ends a proof whose lease has run out: the pump is off, and that is told.
void mind_proof(const Model& model, Memory& memory, Outcome& outcome);

}  // namespace stillwell
