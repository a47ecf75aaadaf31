#include "stillwell/report/alert_text.hpp"

#include "stillwell/site/alarm_story.hpp"

namespace stillwell::report {
namespace {

/// What stopped a pump says more than that it was stopped.
std::optional<Cause> cause_of(const Alarm& alarm, const View& view) {
  const auto* pump = std::get_if<PumpIndex>(&alarm.of);
  if (pump == nullptr || pump->at >= view.pumps.size()) return {};
  if (alarm.kind == AlarmKind::tripped) return view.pumps[pump->at].first_out;
  if (alarm.kind == AlarmKind::locked_out) return view.pumps[pump->at].lock_out;
  return {};
}

/// ", below 0.370 m (15.1 %)"; empty for kinds without a set point.
std::string beyond_text(const Model& model, const Alarm& alarm) {
  const std::string limit = limit_text(model, alarm);
  if (limit.empty()) return {};
  if (!is_of_level(alarm.kind)) return ", more than " + limit;
  return (is_low(alarm.kind) ? ", below " : ", above ") + limit;
}

std::string what_and_remedy(const Model& model, const Alarm& alarm, const std::optional<Cause>& cause) {
  const KindRow& kind = row_of(alarm.kind);
  const std::string what = std::string(kind.text) + beyond_text(model, alarm);
  if (!cause) return what + ". " + std::string(kind.advice);
  const CauseRow& row = row_of(*cause);
  return what + ": " + std::string(row.word) + ", " + std::string(row.text) + ". " + std::string(row.remedy) +
         ".";
}

/// Of one whose cause has gone; empty for one that stands.
std::string returned_text(AlarmState state) {
  switch (state) {
    case AlarmState::returned_unacknowledged: return "has returned by itself; acknowledge it";
    case AlarmState::latched_unacknowledged: return "has returned and is latched; acknowledge and reset it";
    case AlarmState::latched_acknowledged: return "has returned and is latched; reset it";
    default: return {};
  }
}

}  // namespace

std::string alert_text(const Model& model, const View& view, std::size_t at) {
  const Alarm& alarm = model.alarms[at];
  const AlarmView& state = view.alarms[at];
  if (state.state == AlarmState::normal || is_aside(state.state)) return {};
  std::string text = subject_name(model, alarm) + ": " + std::string(to_word(alarm.kind)) + " alarm";
  const std::string returned = returned_text(state.state);
  if (!returned.empty()) return text + " " + returned + ".";
  text += ", " + what_and_remedy(model, alarm, cause_of(alarm, view)) + " Priority " +
          std::string(to_word(alarm.priority)) + ", " + std::string(to_word(state.state)) + ".";
  return state.brought_by ? text + " A consequence of " + model.alarms[*state.brought_by].id + "." : text;
}

}  // namespace stillwell::report
