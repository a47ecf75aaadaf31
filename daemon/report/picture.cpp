#include "stillwell/report/picture.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/canvas.hpp"
#include "stillwell/report/picture_alarms.hpp"
#include "stillwell/report/picture_parts.hpp"
#include "stillwell/report/picture_tanks.hpp"

#include <algorithm>
#include <array>
#include <iterator>

namespace stillwell::report {
namespace {

constexpr std::size_t kMostColumns = 160;  // wider than this a line is hard to follow
constexpr std::size_t kLeastEvents = 3;
constexpr std::size_t kMostAlarms = 4;
constexpr std::size_t kMostClosedLines = 3;

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words)
    text += (text.empty() ? "" : ", ") + word;
  return text;
}

struct HornLook {
  std::string_view text;
  Ink ink = Ink::dim;
};

/// One field for all annunciators; empty where there is none.
HornLook horn_look(const std::vector<AnnunciatorStatus>& annunciators) {
  const auto any = [&](auto condition) { return std::ranges::any_of(annunciators, condition); };
  if (annunciators.empty()) return {};
  if (any(&AnnunciatorStatus::sounding)) return {"▲ horn sounding", Ink::alarm};
  if (any(&AnnunciatorStatus::silenced)) return {"○ horn silenced", Ink::caution};
  return {"○ horn quiet", Ink::dim};
}

void draw_heading(Canvas& canvas, const Snapshot& site, const PictureStyle& style) {
  const auto right = clock_text(site.at, style.utc_offset);
  const bool away = site.broker == "away";
  const std::string broker = site.broker == "none" ? "no broker"
                             : away                ? "○ broker away"
                                                   : "● broker connected";
  canvas.put_right(0, 1, right, Ink::strong);
  canvas.put_right(0, right.size() + 4, broker, away ? Ink::caution : Ink::dim);
  auto taken = right.size() + 4 + width_of(broker) + 2;
  constexpr std::size_t kLeastName = 16;
  const HornLook horn = horn_look(site.annunciators);
  if (!horn.text.empty() && canvas.columns() >= taken + width_of(horn.text) + kLeastName) {
    canvas.put_right(0, taken + 1, horn.text, horn.ink);
    taken += width_of(horn.text) + 3;
  }
  const auto room = canvas.columns() > taken ? canvas.columns() - taken : 1;
  canvas.put({0, 1, room}, site.name.empty() ? site.site : site.name, Ink::strong);
}

/// Side by side.
void draw_open_lines(Canvas& canvas, const std::vector<LineStatus>& lines, std::size_t row) {
  std::size_t column = 1;
  for (const auto& line : lines) {
    const std::string text = "line " + line.id + " · " + std::to_string(line.answered) + " answers, " +
                             std::to_string(line.failed) + " failed";
    canvas.put({row, column}, text, Ink::dim);
    column += width_of(text) + 3;
  }
}

/// A row for itself: why it is closed is a sentence.
void draw_closed_line(Canvas& canvas, const LineStatus& line, std::size_t row) {
  canvas.put({row, 1}, "line " + line.id + " closed" + (line.trouble ? ": " + *line.trouble : ""),
             Ink::alarm);
}

struct StateLook {
  std::string_view state;
  std::string_view sign;
  Ink ink;
};
constexpr std::array<StateLook, 7> kLooks{{{"running", "●", Ink::fine},
                                           {"starting", "◐", Ink::fine},
                                           {"stopped", "○", Ink::dim},
                                           {"waiting", "◌", Ink::caution},
                                           {"tripped", "▲", Ink::alarm},
                                           {"locked-out", "✕", Ink::alarm},
                                           {"out-of-service", "·", Ink::caution}}};

StateLook look_of(std::string_view state) {
  const auto* const found = std::find_if(kLooks.begin(), kLooks.end(),
                                         [state](const StateLook& look) { return look.state == state; });
  return found == kLooks.end() ? StateLook{state, "?", Ink::alarm} : *found;
}

/// What its meter shows, the present before the sum.
std::vector<std::string> motor_figures(const PumpStatus& pump) {
  std::vector<std::string> figures;
  if (pump.power_w) figures.push_back(fixed(*pump.power_w, 0) + " W");
  if (pump.current_a) figures.push_back(fixed(*pump.current_a, 1) + " A");
  if (pump.energy_kwh) figures.push_back(fixed(*pump.energy_kwh, 1) + " kWh");
  return figures;
}

/// Why it does not run, or, when there is nothing to explain, how much it has done. The cause that came first
/// is named only while it still stands, and then first: an old one would send people to the wrong place.
/// Where not all fit the worst stays first, so that it is not the one to be cut off.
std::string pump_note(const PumpStatus& pump, std::size_t room) {
  if (!pump.held_by.empty()) {
    std::vector<std::string> causes = pump.held_by;
    const auto first = std::find(causes.begin(), causes.end(), pump.first_out.value_or(""));
    const bool all_fit = width_of(joined(causes)) <= room;
    if (all_fit && first != causes.end()) std::rotate(causes.begin(), first, std::next(first));
    return joined(causes);
  }
  std::string text = fixed(pump.run_hours, 1) + " h, " + std::to_string(pump.starts) +
                     (pump.starts == 1 ? " start" : " starts");
  for (const std::string& figure : motor_figures(pump)) {
    if (width_of(text) + 2 + width_of(figure) <= room) text += ", " + figure;
  }
  return text;
}

constexpr std::size_t kNameAt = 3;
constexpr std::size_t kNameColumns = 15;

/// The state and the worst cause, or the cause alone when both would leave no room for a name.
std::string short_note(const PumpStatus& pump, std::size_t room) {
  constexpr std::size_t kLeastName = 6;
  if (pump.held_by.empty()) return pump.state;
  const std::string both = pump.state + " " + pump.held_by.front();
  return width_of(both) + 1 + kLeastName <= room ? both : pump.held_by.front();
}

/// Where the columns do not reach far enough to say why a pump is held.
void draw_pump_narrow(Canvas& canvas, const PumpStatus& pump, std::size_t row) {
  const auto look = look_of(pump.state);
  const auto room = canvas.columns() - std::min(canvas.columns(), kNameAt);
  const auto note = short_note(pump, room);
  const auto left = std::min(kNameColumns, room - std::min(room, width_of(note) + 1));
  canvas.put({row, 1, 1}, look.sign, look.ink);
  if (left > 0) canvas.put({row, kNameAt, left}, pump.name, Ink::strong);
  canvas.put({row, kNameAt + (left > 0 ? left + 1 : 0)}, note, look.ink);
}

void draw_pump(Canvas& canvas, const PumpStatus& pump, std::size_t row) {
  constexpr std::size_t kNoteAt = 52;
  constexpr std::size_t kLongestCause = 20;  // "contact-unreachable", and an ellipsis for the others
  if (canvas.columns() < kNoteAt + kLongestCause) return draw_pump_narrow(canvas, pump, row);
  const auto look = look_of(pump.state);
  canvas.put({row, 1, 1}, look.sign, look.ink);
  canvas.put({row, kNameAt, kNameColumns}, pump.name, Ink::strong);
  canvas.put({row, 19, 14}, pump.state, look.ink);
  canvas.put({row, 34, 4}, pump.mode, pump.mode == "off" ? Ink::caution : Ink::dim);
  const bool as_ordered = pump.contact == pump.order;
  canvas.put({row, 39, 12}, pump.contact == "unknown" ? "contact ?" : "contact " + pump.contact,
             as_ordered ? Ink::dim : Ink::alarm);
  const bool plain = pump.held_by.empty() && look.ink != Ink::alarm;
  canvas.put({row, kNoteAt}, pump_note(pump, canvas.columns() - kNoteAt), plain ? Ink::dim : look.ink);
}

void draw_event(Canvas& canvas, const EventStatus& event, std::size_t row, std::chrono::minutes utc_offset) {
  const bool grave = event.kind == "trip" || event.kind == "lockout" || event.kind == "alarm";
  canvas.put({row, 1, 8}, clock_text(event.at, utc_offset), Ink::dim);
  canvas.put({row, 11, 8}, event.kind, grave ? Ink::caution : Ink::dim);
  canvas.put({row, 20}, event.text);
}

/// Rows of a list in `room` rows: all, or all but one and a line that counts the rest.
template <class Items, class Draw>
std::size_t draw_list(Canvas& canvas, const Items& items, std::size_t row, std::size_t room,
                      const Draw& draw) {
  if (room == 0) return 0;
  const auto shown = items.size() <= room ? items.size() : room - 1;
  for (std::size_t i = 0; i < shown; ++i)
    draw(items[i], row + i);
  if (shown == items.size()) return shown;
  canvas.put({row + shown, 3}, more_text(items.size() - shown), Ink::dim);
  return shown + 1;
}

/// Those that work in one row, those that do not below it; returns how many rows that took.
std::size_t draw_lines(Canvas& canvas, const Snapshot& site, std::size_t row) {
  std::vector<LineStatus> open;
  std::vector<LineStatus> closed;
  std::partition_copy(site.lines.begin(), site.lines.end(), std::back_inserter(open),
                      std::back_inserter(closed), [](const LineStatus& line) { return line.open; });
  const std::size_t first = open.empty() ? row : row + 1;
  draw_open_lines(canvas, open, row);
  return first - row +
         draw_list(canvas, closed, first, std::min(closed.size(), kMostClosedLines),
                   [&](const LineStatus& line, std::size_t at) { draw_closed_line(canvas, line, at); });
}

/// What asks for attention first: the list may be cut.
std::vector<PumpStatus> by_urgency(std::vector<PumpStatus> pumps) {
  std::stable_partition(pumps.begin(), pumps.end(),
                        [](const PumpStatus& pump) { return look_of(pump.state).ink == Ink::alarm; });
  return pumps;
}

}  // namespace

std::vector<std::string> picture(const Snapshot& snapshot, const PictureStyle& style) {
  Canvas canvas{style.rows, std::min(style.columns, kMostColumns), style.unicode};
  draw_heading(canvas, snapshot, style);
  const auto heading = 1 + std::max<std::size_t>(1, draw_lines(canvas, snapshot, 1));
  const auto pump_room = std::min(snapshot.pumps.size(), std::max<std::size_t>(style.rows / 3, 1));
  const auto most_alarms = std::max(kMostAlarms, style.rows / 6);
  const auto alarm_rows = rows_for_alarms(snapshot, most_alarms);
  const auto others = heading + pump_room + alarm_rows + kLeastEvents + 3;  // three blank rows between
  const auto tank_rows = rows_for_tanks(canvas, snapshot, style.rows > others ? style.rows - others : 1);

  std::size_t row = heading;
  draw_tanks(canvas, snapshot, row, tank_rows);
  row += tank_rows + 1;
  const auto pumps = pump_room < snapshot.pumps.size() ? by_urgency(snapshot.pumps) : snapshot.pumps;
  row += draw_list(canvas, pumps, row, pump_room,
                   [&](const PumpStatus& pump, std::size_t at) { draw_pump(canvas, pump, at); });
  row += pumps.empty() ? 0 : 1;
  draw_alarms(canvas, snapshot, row, most_alarms, style.utc_offset);
  row += alarm_rows + 1;
  const auto event_room = style.rows > row ? style.rows - row : 0;
  const auto skipped = snapshot.events.size() - std::min(snapshot.events.size(), event_room);
  for (auto i = skipped; i < snapshot.events.size(); ++i) {
    draw_event(canvas, snapshot.events[i], row++, style.utc_offset);
  }
  return canvas.lines(style.colour);
}

}  // namespace stillwell::report
