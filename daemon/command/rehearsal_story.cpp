#include "stillwell/command/rehearsal_story.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/sheet_text.hpp"

namespace stillwell::command {
namespace {

std::string or_unknown(const std::optional<Metres>& level) {
  return level ? to_text(*level) : "not known";
}

report::Grid tanks_grid(const RehearsalStory& story) {
  report::Grid grid{.title = "Tanks", .head = {"tank", "lowest", "highest", "not known for"}, .rows = {}};
  if (!story.spilled.empty()) grid.head.push_back("spilled");
  for (std::size_t at = 0; at < story.totals.tanks().size(); ++at) {
    const rehearsal::TankTotals& tank = story.totals.tanks()[at];
    std::vector<report::Cell> row{
        {tank.id}, {or_unknown(tank.lowest)}, {or_unknown(tank.highest)}, {to_text(tank.unknown)}};
    if (!story.spilled.empty()) row.push_back({to_text(story.spilled[at])});
    grid.rows.push_back(std::move(row));
  }
  return grid;
}

report::Grid pumps_grid(const RehearsalStory& story) {
  report::Grid grid{
      .title = "Pumps", .head = {"pump", "starts", "ran for", "moved", "trips", "lock-outs"}, .rows = {}};
  for (const rehearsal::PumpTotals& pump : story.totals.pumps()) {
    std::string trips;
    for (const auto& [cause, count] : pump.trips)
      trips += (trips.empty() ? "" : ", ") + cause + " " + std::to_string(count);
    grid.rows.push_back({{pump.id},
                         {std::to_string(pump.starts)},
                         {to_text(pump.ran)},
                         {pump.moved ? to_text(*pump.moved) : ""},
                         {trips.empty() ? "none" : trips},
                         {std::to_string(pump.lock_outs)}});
  }
  return grid;
}

/// Those that never rose are many, and say nothing.
report::Grid alarms_grid(const RehearsalStory& story) {
  report::Grid grid{.title = "Alarms that rose", .head = {"alarm", "times", "stood for"}, .rows = {}};
  for (const rehearsal::AlarmTotals& alarm : story.totals.alarms())
    if (alarm.raised > 0)
      grid.rows.push_back({{alarm.id}, {std::to_string(alarm.raised)}, {to_text(alarm.stood)}});
  if (grid.rows.empty()) grid.rows.push_back({{"none"}, {""}, {""}});
  return grid;
}

}  // namespace

std::string story_text(const RehearsalStory& story) {
  std::string text;
  for (const ToldEvent& told : story.events)
    text += stillwell::to_text(told.at) + "  " + told.event.of + ": " + told.event.text + "\n";
  if (!story.events.empty()) text += "\n";
  const report::Sheet sheet{.title = story.site + ", rehearsed for " + to_text(story.lasted),
                            .subtitle = "From " + stillwell::to_text(story.begins) +
                                        " on; configuration CRC-32 " + story.checksum + ".",
                            .grids = {tanks_grid(story), pumps_grid(story), alarms_grid(story)}};
  return text + report::to_columns(sheet);
}

}  // namespace stillwell::command
