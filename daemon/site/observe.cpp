#include "stillwell/site/observe.hpp"

#include "stillwell/site/words.hpp"

#include <utility>

namespace stillwell {
namespace {

std::string what_would_be(EventKind kind) {
  switch (kind) {
    case EventKind::start: return "would start";
    case EventKind::stop:
    case EventKind::trip:
    case EventKind::lockout: return "would stop";
    default: return "would go on";
  }
}

}  // namespace

Model to_observe(Model model) {
  model.name = name_of(model.name, model.id) + " (only observed)";
  for (Pump& pump : model.pumps) {
    pump.feedback.reset();
    pump.unasked.reset();
    pump.isolator.reset();
    pump.dry_run.rise.reset();
    pump.dry_run.power.reset();
    pump.dry_run.flow.reset();
  }
  return model;
}

Event as_observed(Event event) {
  event.text = "Only observed, it " + what_would_be(event.kind) + ": " + event.text;
  return event;
}

}  // namespace stillwell
