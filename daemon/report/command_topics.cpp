#include "stillwell/report/command_topics.hpp"

#include "stillwell/report/homie_topics.hpp"

#include <array>

namespace stillwell::report {
namespace {

using config::Accept;
constexpr bool kOfPump = true;
constexpr bool kOfGateway = false;

constexpr std::array kRows{
    CommandRow{Accept::mode, CommandKind::mode, kOfPump, "pump", "Pump", "mode", "Mode", PayloadForm::mode},
    CommandRow{Accept::reset, CommandKind::reset, kOfPump, "pump", "Pump", "reset", "End a lock-out",
               PayloadForm::yes},
    CommandRow{Accept::acknowledge, CommandKind::acknowledge, kOfGateway, "alarms", "Alarms", "acknowledge",
               "Acknowledge an alarm, or all", PayloadForm::alarm_or_all},
    CommandRow{Accept::silence, CommandKind::silence, kOfGateway, "alarms", "Alarms", "silence",
               "Silence what sounds", PayloadForm::yes},
    CommandRow{Accept::shelve, CommandKind::shelve, kOfGateway, "alarms", "Alarms", "shelve",
               "Put an alarm aside", PayloadForm::shelf},
    CommandRow{Accept::shelve, CommandKind::unshelve, kOfGateway, "alarms", "Alarms", "unshelve",
               "Bring a shelved alarm back", PayloadForm::alarm},
    CommandRow{Accept::reset, CommandKind::reset, kOfGateway, "alarms", "Alarms", "reset",
               "Reset a latched alarm", PayloadForm::alarm},
};

}  // namespace

std::string_view datatype_of(PayloadForm form) {
  switch (form) {
    case PayloadForm::yes: return "boolean";
    case PayloadForm::mode: return "enum";
    case PayloadForm::alarm:
    case PayloadForm::alarm_or_all: return "string";
    case PayloadForm::shelf: return "json";
  }
  return "string";
}

std::span<const CommandRow> command_table() {
  return kRows;
}

std::vector<CommandTopic> command_topics(const Model& model, const std::set<config::Accept>& accepted) {
  std::vector<CommandTopic> topics;
  const auto add = [&](const CommandRow& row, const std::string& device, const std::string& target) {
    topics.push_back({&row, device, target, homie_topic(device, row.node, row.property) + "/set"});
  };
  for (const CommandRow& row : kRows) {
    if (!accepted.contains(row.word)) continue;
    // What no payload names is meant of all of them.
    if (!row.of_pump) add(row, model.id, row.form == PayloadForm::yes ? "all" : "");
    if (!row.of_pump) continue;
    for (const Pump& pump : model.pumps)
      add(row, device_of(model, pump), pump.id);
  }
  return topics;
}

}  // namespace stillwell::report
