#include "stillwell/command/matrix_json.hpp"

#include "stillwell/report/matrix_sheet.hpp"

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& object) {
  return object.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json to_json(const CauseRow& row) {
  Json object{
      {"cause", row.word}, {"returns", to_word(row.returns)}, {"means", row.text}, {"remedy", row.remedy}};
  if (row.verdict >= Verdict::stop) object["waits_for_minimum_run"] = row.waits_for_minimum_run;
  return object;
}

Json to_json(const report::Matrix& matrix, const report::CauseLine& line) {
  Json object = to_json(row_of(line.cause));
  object["pumps"] = Json::object();
  for (std::size_t at = 0; at < line.pumps.size(); ++at) {
    if (const auto& effect = line.pumps[at])
      object["pumps"][matrix.pumps[at]] = {{"does", to_word(effect->verdict)}, {"when", effect->when}};
  }
  return object;
}

Json to_json(const report::ReactionLine& line) {
  const auto seconds = [](const std::optional<Duration>& time) {
    return time ? Json(seconds_of(*time)) : Json{};
  };
  return {{"pump", line.pump},
          {"contact", line.contact},
          {"line_in_order_s", seconds(line.healthy)},
          {"behind_a_silent_station_s", seconds(line.silent)}};
}

Json to_json(const report::Matrix& matrix, const report::AlarmLine& line) {
  const Alarm& alarm = line.alarm;
  Json object{{"alarm", alarm.id}, {"when", line.when}};
  if (is_of_level(alarm.kind)) object["at_m"] = alarm.at.value();
  object["after_s"] = seconds_of(alarm.after);
  object["until"] = line.until;
  if (is_of_level(alarm.kind)) object["clears_at_m"] = alarm.clears_at.value();
  object["clear_after_s"] = seconds_of(alarm.clear_after);
  object["priority"] = to_word(alarm.priority);
  object["latch"] = alarm.latch;
  object["sounds"] = Json::array();
  for (std::size_t at = 0; at < line.sounds.size(); ++at)
    if (line.sounds[at]) object["sounds"].push_back(matrix.annunciators[at]);
  return object;
}

}  // namespace

std::string matrix_json(const report::Matrix& matrix, const std::string& site, const std::string& file,
                        const std::string& checksum) {
  Json object{{"site", site},
              {"configuration", file},
              {"crc_32", checksum},
              {"causes", Json::array()},
              {"reactions", Json::array()},
              {"alarms", Json::array()}};
  for (const report::ReactionLine& line : matrix.reactions)
    object["reactions"].push_back(to_json(line));
  for (const report::CauseLine& line : matrix.causes)
    object["causes"].push_back(to_json(matrix, line));
  for (const report::AlarmLine& line : matrix.alarms)
    object["alarms"].push_back(to_json(matrix, line));
  return dumped(object);
}

std::string modes_json() {
  Json modes = Json::array();
  for (const CauseRow& row : cause_table()) {
    Json object = to_json(row);
    object["does"] = Json::object();
    for (const Standing standing : kEveryStanding)
      object["does"][std::string(to_word(standing))] = to_word(verdict_in(standing, row.cause));
    object["set_member"] = to_word(row.turn);
    modes.push_back(std::move(object));
  }
  return dumped({{"modes", std::move(modes)}});
}

}  // namespace stillwell::command
