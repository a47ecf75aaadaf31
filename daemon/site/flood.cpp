#include "stillwell/site/flood.hpp"

#include "stillwell/site/consequences.hpp"
#include "stillwell/site/words.hpp"

namespace stillwell {
namespace {

/// The alarm that began it: the first that rose, or what brought that one.
std::string first_alarm(const Model& model, const Memory& memory, Instant now) {
  const auto first = first_of_flood(memory.alarms, now);
  if (!first) return {};
  return model.alarms[brought_by(model, memory, *first).value_or(*first)].id;
}

Event tell_flood(const Model& model, const Memory& memory, std::size_t rises, Instant now) {
  Event event{.kind = EventKind::alarm, .of = model.id, .cause = memory.flood ? "flood" : "flood-over"};
  const std::string count = std::to_string(rises);
  if (memory.flood) {
    event.text = name_of(model.name, model.id) + ": a flood of alarms, " + count +
                 " in ten minutes. It began with " + first_alarm(model, memory, now) + ": look there first.";
  } else {
    event.text = name_of(model.name, model.id) + ": the flood of alarms is over, " + count +
                 " in the last ten minutes.";
  }
  event.values.emplace_back("alarms", static_cast<double>(rises));
  return event;
}

}  // namespace

void follow_flood(const Model& model, Memory& memory, Outcome& outcome) {
  const std::size_t rises = raised_within(memory.alarms, kFloodTime, outcome.at);
  if (is_flood(memory.flood, rises) == memory.flood) return;
  memory.flood = !memory.flood;
  outcome.events.push_back(tell_flood(model, memory, rises, outcome.at));
}

}  // namespace stillwell
