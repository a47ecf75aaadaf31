#pragma once
// The annunciators of the site in one scan, after its alarms are known: what each hears, what its contact is
// told, and what is told of it. No order of theirs can reach a pump's contact.

#include "stillwell/site/solve.hpp"

#include <vector>

namespace stillwell {

/// What they see besides the alarms' states of now, which the memory has; by the model's positions.
struct AnnunciatorSight {
  Instant now{};
  const std::vector<AlarmState>& before;  ///< of every alarm, at the end of the scan before
  const std::vector<SwitchState>& switches;
  const std::vector<ContactSample>& contacts;
};

/// Gives the orders of their contacts, and shows and tells what they do.
void sound_annunciators(const Model& model, Memory& memory, const AnnunciatorSight& sight, Outcome& outcome);

Event tell_annunciator(const Annunciator& annunciator, AnnunciatorEvent event);

}  // namespace stillwell
