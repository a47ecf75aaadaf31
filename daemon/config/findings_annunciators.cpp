// Findings about horns and lamps.
#include "stillwell/config/findings.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

bool is_heard(const Model& model, Priority priority) {
  return std::ranges::any_of(model.annunciators,
                             [=](const Annunciator& one) { return sounds_for(one, priority); });
}

void append(std::string& list, const std::string& id) {
  list += (list.empty() ? "" : ", ") + id;
}

std::string alarms_of(const Model& model, Priority priority) {
  std::string ids;
  for (const Alarm& alarm : model.alarms) {
    if (alarm.priority == priority) append(ids, alarm.id);
  }
  return ids;
}

/// The tanks whose alarms it sounds for and which nobody sees any more when its own line dies.
std::string lost_with(const Configuration& configuration, const Annunciator& annunciator, LineIndex line) {
  const Model& model = configuration.model;
  std::string ids;
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const bool warns = std::ranges::any_of(model.alarms, [&](const Alarm& alarm) {
      return alarm.of == AlarmSubject{TankIndex{at}} && sounds_for(annunciator, alarm.priority);
    });
    if (warns && is_seen_by(configuration, line, {at})) append(ids, model.tanks[at].id);
  }
  return ids;
}

}  // namespace

void find_priority_unsounded(const Configuration& configuration, Findings& findings) {
  const Model& model = configuration.model;
  if (model.annunciators.empty()) return;
  for (const Priority priority : {Priority::high, Priority::medium, Priority::low}) {
    const std::string alarms = alarms_of(model, priority);
    if (alarms.empty() || is_heard(model, priority)) continue;
    std::string text = "no annunciator sounds for priority ";
    text.append(to_word(priority)).append(", which these alarms have: ").append(alarms);
    text +=
        ". A person near the horn does not hear of them (common practice, no source): add it to sounds_for, "
        "or leave them to whoever reads the broker";
    findings.note("priority-unsounded", {"annunciators", model.annunciators.front().id}, std::move(text));
  }
}

void find_annunciator_on_gauge_line(const Configuration& configuration, Findings& findings) {
  for (const Annunciator& annunciator : configuration.model.annunciators) {
    const LineIndex line = configuration.wiring.contacts.at(annunciator.contact.at).line;
    const std::string tanks = lost_with(configuration, annunciator, line);
    if (tanks.empty()) continue;
    findings.note("annunciator-on-gauge-line", {"annunciators", annunciator.id},
                  "line " + configuration.wiring.lines.at(line.at).id +
                      " carries both its contact and the gauges of: " + tanks +
                      ". When that line dies, the levels are lost and it cannot sound for it; what remains "
                      "is status, the journal and the broker. Put it on another line than the gauges "
                      "(common practice, no source)");
  }
}

}  // namespace stillwell::config
