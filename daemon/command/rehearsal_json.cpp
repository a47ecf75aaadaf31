#include "stillwell/command/rehearsal_story.hpp"

#include <algorithm>
#include <iterator>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMostDifferences = 40;

Json metres(const std::optional<Metres>& level) {
  return level ? Json(level->value()) : Json{};
}

Json totals_json(const RehearsalStory& story) {
  Json totals{{"tanks", Json::object()}, {"pumps", Json::object()}, {"alarms", Json::object()}};
  for (std::size_t at = 0; at < story.totals.tanks().size(); ++at) {
    const rehearsal::TankTotals& tank = story.totals.tanks()[at];
    Json& one = totals["tanks"][tank.id];
    one = {{"lowest_m", metres(tank.lowest)},
           {"highest_m", metres(tank.highest)},
           {"unknown_s", seconds_of(tank.unknown)}};
    if (!story.spilled.empty()) one["spilled_l"] = story.spilled[at].value();
  }
  for (const rehearsal::PumpTotals& pump : story.totals.pumps())
    totals["pumps"][pump.id] = {{"starts", pump.starts},
                                {"ran_s", seconds_of(pump.ran)},
                                {"moved_l", pump.moved ? Json(pump.moved->value()) : Json{}},
                                {"trips", Json(pump.trips)},
                                {"lock_outs", pump.lock_outs}};
  for (const rehearsal::AlarmTotals& alarm : story.totals.alarms())
    totals["alarms"][alarm.id] = {{"raised", alarm.raised}, {"stood_s", seconds_of(alarm.stood)}};
  return totals;
}

Json events_json(const RehearsalStory& story) {
  Json events = Json::array();
  for (const ToldEvent& told : story.events) {
    Json values = Json::object();
    for (const auto& [name, value] : told.event.values)
      values[name] = value;
    events.push_back({{"at", stillwell::to_text(told.at)},
                      {"kind", to_word(told.event.kind)},
                      {"of", told.event.of},
                      {"cause", told.event.cause},
                      {"text", told.event.text},
                      {"values", std::move(values)}});
  }
  return events;
}

/// One line of each event, in which a difference shows. What it says is left out: the words may have been
/// improved.
std::vector<std::string> event_lines(const Json& rehearsal) {
  std::vector<std::string> lines;
  for (const Json& event : rehearsal.at("events"))
    lines.push_back(event.at("at").get<std::string>() + "  " + event.at("of").get<std::string>() + "  " +
                    event.at("kind").get<std::string>() + "  " + event.at("cause").get<std::string>());
  std::ranges::sort(lines);
  return lines;
}

/// "pumps/lift/starts: 12, was 14" for every number that is another.
void compare(const Json& before, const Json& now, std::vector<std::string>& found) {
  const Json was = before.flatten();
  const Json is = now.flatten();
  const auto shown = [](const Json& all, const std::string& path) {
    return all.contains(path) ? all.at(path).dump() : std::string{"not there"};
  };
  for (const auto& [path, value] : is.items())
    if (shown(was, path) != value.dump())
      found.push_back(path.substr(1) + ": " + value.dump() + ", was " + shown(was, path));
  for (const auto& [path, value] : was.items())
    if (!is.contains(path)) found.push_back(path.substr(1) + ": not there, was " + value.dump());
}

void compare_events(const Json& before, const Json& now, std::vector<std::string>& found) {
  const auto was = event_lines(before);
  const auto is = event_lines(now);
  std::vector<std::string> lines;
  std::ranges::set_difference(was, is, std::back_inserter(lines));
  for (std::string& line : lines)
    line += "  only before";
  const auto middle = static_cast<std::ptrdiff_t>(lines.size());
  std::ranges::set_difference(is, was, std::back_inserter(lines));
  for (auto line = lines.begin() + middle; line != lines.end(); ++line)
    *line += "  only now";
  std::ranges::sort(lines);
  std::ranges::move(lines, std::back_inserter(found));
}

}  // namespace

std::string story_json(const RehearsalStory& story) {
  const Json object{{"site", story.site},
                    {"configuration", story.checksum},
                    {"begins", stillwell::to_text(story.begins)},
                    {"lasted_s", seconds_of(story.lasted)},
                    {"totals", totals_json(story)},
                    {"events", events_json(story)}};
  return object.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<std::vector<std::string>> differences(std::string_view before, std::string_view now) try {
  const Json was = Json::parse(before);
  const Json is = Json::parse(now);
  std::vector<std::string> found;
  for (const char* key : {"begins", "lasted_s"})
    if (was.at(key) != is.at(key))
      found.push_back(std::string{key} + ": " + is.at(key).dump() + ", was " + was.at(key).dump());
  compare(was.at("totals"), is.at("totals"), found);
  compare_events(was, is, found);
  if (found.size() > kMostDifferences) {
    const std::size_t more = found.size() - kMostDifferences;
    found.resize(kMostDifferences);
    found.push_back("and " + std::to_string(more) + " more");
  }
  return found;
} catch (const Json::exception&) {
  return Failure{"it is not what `rehearse --json` prints"};
}

}  // namespace stillwell::command
