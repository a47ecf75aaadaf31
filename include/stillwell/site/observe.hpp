#pragma once
// Observing: the rules are solved, every contact is held off, and what would be switched is told instead. A
// motor that is held off shows nothing of itself, so what watches one is not asked.

#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"

namespace stillwell {

/// Without feedbacks, isolators and guards of load, flow and rise; its name says that it only observes.
Model to_observe(Model model);

/// The event of a pump, told of what would have happened.
Event as_observed(Event event);

}  // namespace stillwell
