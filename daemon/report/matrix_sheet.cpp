#include "stillwell/report/matrix_sheet.hpp"

#include "stillwell/quantity/units.hpp"

#include <chrono>

namespace stillwell::report {
namespace {

Tone tone_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::permit: return Tone::plain;
    case Verdict::hold_start: return Tone::mild;
    case Verdict::stop: return Tone::middling;
    case Verdict::trip: return Tone::grave;
    case Verdict::lock_out: return Tone::gravest;
  }
  return Tone::gravest;
}

Tone tone_of(Priority priority) {
  switch (priority) {
    case Priority::low: return Tone::mild;
    case Priority::medium: return Tone::middling;
    case Priority::high: return Tone::grave;
  }
  return Tone::grave;
}

Cell cell_of(std::string_view text) {
  return {std::string(text)};
}
Cell cell_of(Verdict verdict) {
  return {std::string(effect_word(verdict)), tone_of(verdict)};
}
Cell cell_of(const std::optional<PumpEffect>& effect) {
  if (!effect) return {"-"};  // it cannot come up there
  return {std::string(effect_word(effect->verdict)) + ": " + effect->when, tone_of(effect->verdict)};
}
Cell cell_of(Priority priority) {
  return {std::string(to_word(priority)), tone_of(priority)};
}

std::string delay_text(Duration delay) {
  return delay == Duration{0} ? "at once" : to_text(delay);
}

/// "from 20 % (0.490 m) for 60 s, then reset"
std::string returns_text(const AlarmLine& line) {
  const Alarm& alarm = line.alarm;
  return line.until + (alarm.clear_after > Duration{0} ? " for " + to_text(alarm.clear_after) : "") +
         (alarm.latch ? ", then reset by a person" : "");
}

std::string sounding(const Matrix& matrix, const AlarmLine& line) {
  std::string names;
  for (std::size_t at = 0; at < line.sounds.size(); ++at)
    if (line.sounds[at]) names += (names.empty() ? "" : ", ") + matrix.annunciators[at];
  return names;
}

Grid causes_grid(const Matrix& matrix) {
  Grid grid{.title = "What a cause does to a pump", .head = {"cause"}, .rows = {}};
  grid.head.insert(grid.head.end(), matrix.pumps.begin(), matrix.pumps.end());
  for (const CauseLine& line : matrix.causes) {
    std::vector<Cell> row{cell_of(stillwell::to_word(line.cause))};
    for (const auto& effect : line.pumps)
      row.push_back(cell_of(effect));
    grid.rows.push_back(std::move(row));
  }
  return grid;
}

Grid alarms_grid(const Matrix& matrix) {
  const bool heard = !matrix.annunciators.empty();
  Grid grid{.title = "What raises an alarm",
            .head = {"alarm", "rises", "after", "returns", "priority"},
            .rows = {}};
  if (heard) grid.head.emplace_back("sounds");
  for (const AlarmLine& line : matrix.alarms) {
    std::vector<Cell> row{cell_of(line.alarm.id), cell_of(line.when), cell_of(delay_text(line.alarm.after)),
                          cell_of(returns_text(line)), cell_of(line.alarm.priority)};
    if (heard) row.push_back(cell_of(sounding(matrix, line)));
    grid.rows.push_back(std::move(row));
  }
  return grid;
}

/// Whole milliseconds, rounded up: what is promised.
std::string soon_text(const std::optional<Duration>& time) {
  if (!time) return "unknown: behind a gateway";
  return to_text(Duration{std::chrono::ceil<std::chrono::milliseconds>(*time)});
}

Grid reactions_grid(const Matrix& matrix) {
  Grid grid{.title = "How soon a contact is off, from the reading that trips its pump",
            .head = {"pump", "contact", "line in order", "behind a silent station"},
            .rows = {}};
  for (const ReactionLine& line : matrix.reactions)
    grid.rows.push_back({cell_of(line.pump), cell_of(line.contact), cell_of(soon_text(line.healthy)),
                         cell_of(soon_text(line.silent))});
  return grid;
}

Grid legend(const std::vector<Cause>& causes) {
  Grid grid{.title = "What a cause means, and what to do",
            .head = {"cause", "means", "returns", "what to do"},
            .rows = {}};
  for (const Cause cause : causes) {
    const CauseRow& row = row_of(cause);
    grid.rows.push_back(
        {cell_of(row.word), cell_of(row.text), cell_of(to_word(row.returns)), cell_of(row.remedy)});
  }
  return grid;
}

}  // namespace

Sheet sheet_of(const Matrix& matrix, std::string site, std::string source) {
  Sheet sheet{.title = std::move(site) + ": causes and effects", .subtitle = std::move(source), .grids = {}};
  std::vector<Cause> causes;
  for (const CauseLine& line : matrix.causes)
    causes.push_back(line.cause);
  if (!causes.empty()) sheet.grids.push_back(causes_grid(matrix));
  if (!matrix.reactions.empty()) sheet.grids.push_back(reactions_grid(matrix));
  if (!matrix.alarms.empty()) sheet.grids.push_back(alarms_grid(matrix));
  if (!causes.empty()) sheet.grids.push_back(legend(causes));
  return sheet;
}

Grid grid_of(const Matrix& matrix) {
  Grid grid{.title = {}, .head = {"kind", "name", "when", "after", "returns", "priority"}, .rows = {}};
  for (const std::string& pump : matrix.pumps)
    grid.head.push_back("pump " + pump);
  for (const std::string& annunciator : matrix.annunciators)
    grid.head.push_back("annunciator " + annunciator);
  for (const CauseLine& line : matrix.causes) {
    const CauseRow& cause = row_of(line.cause);
    std::vector<Cell> row{
        cell_of("cause"), cell_of(cause.word), cell_of(cause.text), {}, cell_of(to_word(cause.returns)), {}};
    for (const auto& effect : line.pumps)
      row.push_back(cell_of(effect));
    row.resize(grid.head.size());
    grid.rows.push_back(std::move(row));
  }
  for (const AlarmLine& line : matrix.alarms) {
    std::vector<Cell> row{cell_of("alarm"),
                          cell_of(line.alarm.id),
                          cell_of(line.when),
                          cell_of(delay_text(line.alarm.after)),
                          cell_of(returns_text(line)),
                          cell_of(line.alarm.priority)};
    row.resize(row.size() + matrix.pumps.size());
    for (const bool sounds : line.sounds)
      row.push_back(cell_of(sounds ? "sounds" : ""));
    grid.rows.push_back(std::move(row));
  }
  return grid;
}

std::string_view minimum_run_word(const CauseRow& row) {
  if (row.verdict < Verdict::stop) return "";
  return row.waits_for_minimum_run ? "waits for it" : "overrides it";
}

Grid modes_grid() {
  Grid grid{.title = "What a cause does to a pump in each mode", .head = {"cause"}, .rows = {}};
  for (const Standing standing : kEveryStanding)
    grid.head.emplace_back(to_word(standing));
  grid.head.insert(grid.head.end(), {"on_at_least", "set member", "returns"});
  for (const CauseRow& row : cause_table()) {
    std::vector<Cell> cells{cell_of(row.word)};
    for (const Standing standing : kEveryStanding)
      cells.push_back(cell_of(verdict_in(standing, row.cause)));
    cells.push_back(cell_of(minimum_run_word(row)));
    cells.push_back(cell_of(to_word(row.turn)));
    cells.push_back(cell_of(to_word(row.returns)));
    grid.rows.push_back(std::move(cells));
  }
  return grid;
}

Sheet modes_sheet() {
  std::vector<Cause> causes;
  for (const CauseRow& row : cause_table())
    causes.push_back(row.cause);
  return {.title = "Causes and modes",
          .subtitle =
              "Of any pump. Off and out of service it is ordered off: then a cause can only keep it "
              "so, but for those that say that the motor may run all the same.",
          .grids = {modes_grid(), legend(causes)}};
}

}  // namespace stillwell::report
