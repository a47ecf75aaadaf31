#include "stillwell/site/annunciators.hpp"

#include <algorithm>

namespace stillwell {
namespace {

/// The alarms that one hears of, in this scan.
std::vector<AlarmStep> steps_of(const Model& model, const Memory& memory, const AnnunciatorSight& sight,
                                const Annunciator& annunciator) {
  std::vector<AlarmStep> steps;
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    if (sounds_for(annunciator, model.alarms[at].priority))
      steps.push_back({sight.before[at], memory.alarms[at].state});
  }
  return steps;
}

/// The configuration refuses a contact that both have. Should one come here all the same, the pump has it.
bool is_pumps(const Model& model, ContactIndex contact) {
  return std::ranges::any_of(model.pumps, [=](const Pump& pump) {
    return pump.contact == contact || (pump.isolator && pump.isolator->contact == contact);
  });
}

struct Words {
  std::string_view cause;
  std::string_view text;
};

Words words_for(AnnunciatorEvent event) {
  switch (event) {
    case AnnunciatorEvent::sounds:
      return {"sounding", "sounds for a new alarm; silence it, and see status for what it is"};
    case AnnunciatorEvent::sounds_after_start:
      return {"sounding", "sounds: an alarm was not acknowledged when this program started"};
    case AnnunciatorEvent::sounds_again:
      return {"sounding", "sounds again: it was silenced, and an alarm still stands"};
    case AnnunciatorEvent::silenced_by_switch: return {"silenced", "silenced by its switch"};
    case AnnunciatorEvent::silenced_by_command: return {"silenced", "silenced by a command"};
    case AnnunciatorEvent::silenced_by_acknowledge:
      return {"silenced", "silenced, because an alarm was acknowledged"};
    case AnnunciatorEvent::ended: return {"quiet", "quiet: all of its alarms have returned"};
    case AnnunciatorEvent::test: return {"test", "sounds for 3 s as a test"};
    case AnnunciatorEvent::contact_unreachable: break;
  }
  return {"contact-unreachable",
          "may not sound, or not fall silent: its contact is not confirmed to be what it was ordered to be; "
          "check the relay module, its supply and the line"};
}

}  // namespace

void sound_annunciators(const Model& model, Memory& memory, const AnnunciatorSight& sight, Outcome& outcome) {
  for (std::size_t at = 0; at < model.annunciators.size(); ++at) {
    const Annunciator& annunciator = model.annunciators[at];
    const auto steps = steps_of(model, memory, sight, annunciator);
    AnnunciatorInputs inputs{.alarms = steps, .now = sight.now};
    if (annunciator.silence_switch) inputs.button = sight.switches[annunciator.silence_switch->input.at];
    if (annunciator.contact.at < sight.contacts.size())
      inputs.contact = sight.contacts[annunciator.contact.at];
    AnnunciatorMemory& own = memory.annunciators[at];
    const AnnunciatorOutcome result = follow(own, annunciator, inputs);
    if (!is_pumps(model, annunciator.contact)) outcome.contacts[annunciator.contact.at] = result.order;
    for (const AnnunciatorEvent event : result.events)
      outcome.events.push_back(tell_annunciator(annunciator, event));
    outcome.view.annunciators.push_back(
        {.state = own.state, .since = own.since, .order = result.order, .contact = inputs.contact.on});
  }
}

Event tell_annunciator(const Annunciator& annunciator, AnnunciatorEvent event) {
  const Words words = words_for(event);
  return {.kind = EventKind::alarm,
          .of = annunciator.id,
          .cause = std::string(words.cause),
          .text = annunciator.id + " " + std::string(words.text) + ".",
          .values = {}};
}

}  // namespace stillwell
