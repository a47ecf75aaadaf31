#include "stillwell/site/commands.hpp"

#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/site/alarm_commands.hpp"
#include "stillwell/site/annunciators.hpp"
#include "stillwell/site/levels.hpp"
#include "stillwell/site/proof.hpp"
#include "stillwell/site/pump_commands.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>

namespace stillwell {
namespace {

CommandReply do_accept(const Model& model, Memory& memory, const Command& command) {
  const auto at = find_id(model.tanks, command.target);
  if (!at) return {false, "no tank is named '" + command.target + "'; there are: " + listed_ids(model.tanks)};
  if (model.tanks[*at].floats) {
    return {false, command.target + " is kept by floats, which show no level that could be accepted"};
  }
  const Level& level = memory.levels[*at];
  const auto readings = refused(model.tanks[*at], memory);
  const std::string shown = readings.empty() ? "" : tell_refused(model, readings);
  if (level.usable()) {
    return {false, command.target + " is known to be at " + to_text(*level.level) +
                       (shown.empty() ? "" : "; mend the gauge instead: " + shown)};
  }
  if (readings.empty()) {
    return {false, command.target + " is " + std::string(to_word(level.quality)) + " (" +
                       std::string(to_word(level.reason)) +
                       "); only a gauge that jumped or stood still can be accepted"};
  }
  accept(readings, memory);
  return {true, shown + "; that is taken for the water's level"};
}

/// The annunciators that a command means; none when nothing has that name.
std::vector<std::size_t> annunciators_named(const Model& model, const std::string& target) {
  std::vector<std::size_t> meant;
  for (std::size_t at = 0; at < model.annunciators.size(); ++at) {
    if (target == "all" || model.annunciators[at].id == target) meant.push_back(at);
  }
  return meant;
}

CommandReply no_annunciator(const Model& model, const std::string& target) {
  if (model.annunciators.empty()) return {false, "this site has no annunciators"};
  return {false, "no annunciator is named '" + target + "'; there are: " + listed_ids(model.annunciators)};
}

CommandReply do_silence(const CommandCase& it, const Command& command) {
  const auto meant = annunciators_named(it.model, command.target);
  if (meant.empty()) return no_annunciator(it.model, command.target);
  std::string silenced;
  for (const std::size_t at : meant) {
    if (!silence(it.memory.annunciators[at], it.outcome.at)) continue;
    const Annunciator& annunciator = it.model.annunciators[at];
    it.outcome.events.push_back(tell_annunciator(annunciator, AnnunciatorEvent::silenced_by_command));
    silenced += (silenced.empty() ? "" : ", ") + annunciator.id;
  }
  if (silenced.empty()) return {false, "nothing sounds for an alarm"};
  return {true, silenced + " silenced; the alarms stand until they are acknowledged"};
}

/// Refused for nothing but a name: a horn that cannot be tested is none.
CommandReply do_sound_horn(const CommandCase& it, const Command& command) {
  const auto meant = annunciators_named(it.model, command.target);
  if (meant.empty()) return no_annunciator(it.model, command.target);
  for (const std::size_t at : meant) {
    test(it.memory.annunciators[at], it.outcome.at);
    it.outcome.events.push_back(tell_annunciator(it.model.annunciators[at], AnnunciatorEvent::test));
  }
  return {true, (command.target == "all" ? "all annunciators sound" : command.target + " sounds") + " for " +
                    to_text(kHornTest)};
}

CommandReply do_prove(const CommandCase& it, const Command& command) {
  if (it.image.observing) return {false, "a daemon that only observes switches nothing that could be proved"};
  ProofReply reply = step_proof(it.model, it.memory, command, it.outcome.at);
  return {reply.done, std::move(reply.text), reply.is_news};
}

CommandReply do_reset(const CommandCase& it, const Command& command) {
  if (const auto pump = find_id(it.model.pumps, command.target)) return reset_pump(it, *pump, command.origin);
  if (const auto alarm = find_id(it.model.alarms, command.target)) return reset_alarm(it, *alarm);
  return {false, "no pump or alarm is named '" + command.target + "'; pumps: " + listed_ids(it.model.pumps) +
                     "; alarms: " + listed_ids(it.model.alarms)};
}

CommandReply carry_out(const CommandCase& it, const Command& command) {
  switch (command.kind) {
    case CommandKind::acknowledge: return do_acknowledge(it, command);
    case CommandKind::reset: return do_reset(it, command);
    case CommandKind::mode: return do_mode(it, command);
    case CommandKind::accept: return do_accept(it.model, it.memory, command);
    case CommandKind::shelve: return do_shelve(it, command);
    case CommandKind::unshelve: return do_unshelve(it, command);
    case CommandKind::service: return do_service(it, command);
    case CommandKind::silence: return do_silence(it, command);
    case CommandKind::sound_horn: return do_sound_horn(it, command);
    case CommandKind::prove: return do_prove(it, command);
    case CommandKind::release: return do_release(it, command);
  }
  return {false, "unknown command"};
}

}  // namespace

void obey(const Model& model, Memory& memory, const InputImage& image, const Command& command,
          Outcome& outcome) {
  const CommandReply reply = carry_out({model, memory, image, outcome}, command);
  const std::string verb{to_word(command.kind)};
  outcome.answers.push_back({command.number, reply.done, reply.text});
  if (!reply.is_news) return;
  outcome.events.push_back({.kind = EventKind::command,
                            .of = command.target.empty() ? model.id : command.target,
                            .cause = verb,
                            .text = (reply.done ? "" : "refused: ") + reply.text +
                                    (command.origin == Origin::network ? " (over MQTT)." : "."),
                            .values = {}});
}

}  // namespace stillwell
