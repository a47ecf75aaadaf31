#include "stillwell/command/rehearsal_chart.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/strip_chart.hpp"
#include "stillwell/site/words.hpp"

namespace stillwell::command {
namespace {

using report::StripMark;

void add(std::vector<StripMark>& marks, const std::string& words, const std::optional<Metres>& level,
         bool is_alarm = false) {
  if (level) marks.push_back({words + " " + to_text(*level), *level, is_alarm});
}

/// At what the pumps of this tank, and its alarms, are judged.
std::vector<StripMark> marks_of(const Model& model, TankIndex tank) {
  std::vector<StripMark> marks;
  for (const Pump& pump : model.pumps) {
    if (pump.tank == tank) {
      add(marks, pump.id + " starts", pump.start_level);
      add(marks, pump.id + " stops", pump.stop_level);
    }
    if (pump.source == tank) add(marks, pump.id + " trips", pump.source_below);
  }
  for (const Alarm& alarm : model.alarms)
    if (alarm.tank() && *alarm.tank() == tank && is_of_level(alarm.kind))
      add(marks, std::string{to_word(alarm.kind)} + " alarm", alarm.at, true);
  return marks;
}

}  // namespace

std::string rehearsal_svg(const Model& model, const rehearsal::Trace& trace, const RehearsalStory& story) {
  report::StripChart chart{.title = story.site + ", rehearsed for " + to_text(story.lasted),
                           .subtitle = "Configuration CRC-32 " + story.checksum +
                                       ". No recording of what happened: what the rules would have done.",
                           .begins = story.begins,
                           .lasts = story.lasted,
                           .tanks = {},
                           .states = {}};
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    const Tank& tank = model.tanks[at];
    report::StripTank strip{.name = name_of(tank.name, tank.id),
                            .full = tank.full_line,
                            .marks = marks_of(model, {at}),
                            .course = {}};
    for (const auto& reach : trace.tank({at}))
      strip.course.push_back(reach ? std::optional{std::pair{reach->lowest, reach->highest}} : std::nullopt);
    if (!tank.floats) chart.tanks.push_back(std::move(strip));
  }
  for (std::size_t at = 0; at < model.pumps.size(); ++at)
    chart.states.push_back(
        {.name = model.pumps[at].id + " on", .is_alarm = false, .course = trace.pump({at})});
  for (std::size_t at = 0; at < model.alarms.size(); ++at)
    if (story.totals.alarms()[at].raised > 0)
      chart.states.push_back({.name = model.alarms[at].id, .is_alarm = true, .course = trace.alarm(at)});
  return to_svg(chart);
}

}  // namespace stillwell::command
