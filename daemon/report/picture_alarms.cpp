#include "stillwell/report/picture_alarms.hpp"

#include "stillwell/report/picture_parts.hpp"

#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

namespace stillwell::report {
namespace {

/// One alarm that came first, and those that it brought.
struct Family {
  const AlarmStatus* first = nullptr;
  std::vector<const AlarmStatus*> brought;
};

struct Row {
  const AlarmStatus* alarm = nullptr;
  bool is_consequence = false;
  std::size_t brought = 0;  ///< not shown in rows of their own
};

/// How much an alarm wants to be looked at.
std::tuple<int, bool> urgency(const AlarmStatus& alarm) {
  const int rank = alarm.priority == "high" ? 2 : alarm.priority == "medium" ? 1 : 0;
  return {rank, alarm.state == "unacknowledged"};
}

/// That of its most urgent member: a low alarm may have brought a high one.
std::tuple<int, bool> urgency(const Family& family) {
  auto most = urgency(*family.first);
  for (const AlarmStatus* one : family.brought)
    most = std::max(most, urgency(*one));
  return most;
}

template <class List, class Urgency>
void most_urgent_first(List& list, const Urgency& urgency_of) {
  std::stable_sort(list.begin(), list.end(),
                   [&](const auto& a, const auto& b) { return urgency_of(a) > urgency_of(b); });
}

/// A consequence of what is not shown itself stands for itself.
std::vector<Family> families_of(const std::vector<AlarmStatus>& alarms) {
  std::vector<Family> families;
  const auto family_of = [&](const std::optional<std::string>& id) {
    return std::find_if(families.begin(), families.end(),
                        [&](const Family& family) { return family.first->id == id; });
  };
  const auto is_shown = [&](const std::string& id) {
    return std::any_of(alarms.begin(), alarms.end(),
                       [&](const AlarmStatus& one) { return one.id == id && is_pressing(one); });
  };
  const auto is_first = [&](const AlarmStatus& alarm) {
    return !alarm.consequence_of || !is_shown(*alarm.consequence_of);
  };
  for (const AlarmStatus& alarm : alarms)
    if (is_pressing(alarm) && is_first(alarm)) families.push_back({&alarm, {}});
  for (const AlarmStatus& alarm : alarms) {
    if (!is_pressing(alarm) || is_first(alarm)) continue;
    const auto family = family_of(alarm.consequence_of);
    if (family == families.end())
      families.push_back({&alarm, {}});
    else
      family->brought.push_back(&alarm);
  }
  most_urgent_first(families, [](const Family& family) { return urgency(family); });
  return families;
}

/// Every family has its row; its consequences have theirs as long as there is room, the most urgent family's
/// before the others'.
std::vector<Row> rows_of(std::vector<Family> families, std::size_t room) {
  std::vector<Row> rows;
  std::size_t taken = families.size();
  for (Family& family : families) {
    const bool all = taken + family.brought.size() <= room;
    rows.push_back({.alarm = family.first, .brought = all ? 0 : family.brought.size()});
    if (!all) continue;
    taken += family.brought.size();
    most_urgent_first(family.brought, [](const AlarmStatus* alarm) { return urgency(*alarm); });
    for (const AlarmStatus* one : family.brought)
      rows.push_back({.alarm = one, .is_consequence = true});
  }
  return rows;
}

std::string flood_text(const AlarmFiguresStatus& figures) {
  if (figures.flood)
    return "flood: " + std::to_string(figures.last_ten_minutes) +
           " alarms in ten minutes; look at what came first";
  if (!figures.over_demanding) return {};
  std::string text = std::to_string(figures.last_day) + " alarms in 24 h, more than anybody can heed";
  if (const auto& most = figures.most_frequent)
    text += "; " + most->id + " " + std::to_string(most->count) + " times";
  return text;
}

/// Hours and minutes: nothing is shelved for longer than a day.
std::string until_text(Stamp until, std::chrono::minutes utc_offset) {
  constexpr std::size_t kHoursAndMinutes = 5;
  return " until " + clock_text(until, utc_offset).substr(0, kHoursAndMinutes);
}

/// The counts first: what is cut off is the end of a reason.
std::string aside_text(const std::vector<AlarmStatus>& alarms, std::chrono::minutes utc_offset) {
  std::string text;
  const auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
  const auto count = [&](std::string_view state, const std::string& word) {
    const auto some = std::count_if(alarms.begin(), alarms.end(),
                                    [&](const AlarmStatus& alarm) { return alarm.state == state; });
    if (some > 0) add(std::to_string(some) + " " + word);
  };
  count("suppressed", "suppressed");
  count("out-of-service", "out of service");
  for (const AlarmStatus& alarm : alarms) {
    if (alarm.state != "shelved") continue;
    const std::string until = alarm.shelved_until ? until_text(*alarm.shelved_until, utc_offset) : "";
    add("shelved " + alarm.id + until + (alarm.because ? " (" + *alarm.because + ")" : ""));
  }
  return text.empty() ? text : "put aside: " + text;
}

constexpr std::size_t kIdAt = 3;
constexpr std::size_t kStateAt = 31;
constexpr std::size_t kPriorityAt = 55;
constexpr std::size_t kSinceAt = 62;

void draw_sign_and_id(Canvas& canvas, const Row& row, std::size_t at, std::size_t room, Ink ink) {
  constexpr std::size_t kIndent = 3;
  const std::size_t indent = row.is_consequence && room > kIndent ? kIndent : 0;
  if (row.is_consequence)
    canvas.put({at, kIdAt, 2}, "╰─", Ink::dim);
  else
    canvas.put({at, 1, 1}, "▲", ink);
  if (room > 0) canvas.put({at, kIdAt + indent, room - indent}, row.alarm->id, Ink::strong);
}

std::string brings_text(std::size_t count) {
  return count == 0 ? "" : "brings " + std::to_string(count);
}

/// Where the columns do not reach as far as the priority: the state at the edge, the id in what is left.
void draw_narrow(Canvas& canvas, const Row& row, std::size_t at, Ink ink) {
  const std::string brings = brings_text(row.brought);
  const std::string note = row.alarm->state + (brings.empty() ? "" : " " + brings);
  const std::size_t taken = kIdAt + width_of(note) + 1;
  draw_sign_and_id(canvas, row, at, canvas.columns() > taken ? canvas.columns() - taken : 0, ink);
  canvas.put_right(at, 0, note, ink);
}

void draw_alarm(Canvas& canvas, const Row& row, std::size_t at, std::chrono::minutes utc_offset) {
  const AlarmStatus& alarm = *row.alarm;
  const Ink ink = alarm.state == "unacknowledged" ? Ink::alarm : Ink::caution;
  if (canvas.columns() < kSinceAt) return draw_narrow(canvas, row, at, ink);
  draw_sign_and_id(canvas, row, at, kStateAt - kIdAt - 1, ink);
  canvas.put({at, kStateAt, kPriorityAt - kStateAt - 1}, alarm.state, ink);
  canvas.put({at, kPriorityAt, kSinceAt - kPriorityAt - 1}, alarm.priority, Ink::plain);
  const std::string brings = brings_text(row.brought);
  const std::string since = alarm.since ? clock_text(*alarm.since, utc_offset) : "";
  if (brings.empty() && alarm.since) canvas.put({at, kSinceAt}, "since " + since, Ink::dim);
  if (!brings.empty()) canvas.put({at, kSinceAt}, since + " " + brings, Ink::dim);
}

/// So many rows as there is room, the last of which counts the alarms that have none.
std::size_t draw_rows(Canvas& canvas, const std::vector<Row>& rows, std::size_t at, std::size_t room,
                      std::chrono::minutes utc_offset) {
  const std::size_t shown = rows.size() <= room ? rows.size() : room - 1;
  for (std::size_t i = 0; i < shown; ++i)
    draw_alarm(canvas, rows[i], at + i, utc_offset);
  if (shown == rows.size()) return shown;
  std::size_t hidden = 0;
  for (std::size_t i = shown; i < rows.size(); ++i)
    hidden += 1 + rows[i].brought;
  canvas.put({at + shown, kIdAt}, more_text(hidden), Ink::dim);
  return shown + 1;
}

}  // namespace

std::size_t rows_for_alarms(const Snapshot& snapshot, std::size_t most) {
  const std::size_t rows = rows_of(families_of(snapshot.alarms), most).size();
  return std::clamp<std::size_t>(rows, 1, most) + (flood_text(snapshot.alarm_figures).empty() ? 0 : 1) +
         (aside_text(snapshot.alarms, {}).empty() ? 0 : 1);
}

void draw_alarms(Canvas& canvas, const Snapshot& snapshot, std::size_t row, std::size_t most,
                 std::chrono::minutes utc_offset) {
  const std::string flood = flood_text(snapshot.alarm_figures);
  if (!flood.empty())
    canvas.put({row++, 1}, "▲ " + flood, snapshot.alarm_figures.flood ? Ink::alarm : Ink::caution);
  const std::vector<Row> rows = rows_of(families_of(snapshot.alarms), most);
  if (rows.empty())
    canvas.put({row++, 1}, "no alarms", Ink::fine);
  else
    row += draw_rows(canvas, rows, row, most, utc_offset);
  canvas.put({row, 1}, aside_text(snapshot.alarms, utc_offset), Ink::dim);
}

}  // namespace stillwell::report
