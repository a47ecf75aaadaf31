#include "stillwell/command/matrix_json.hpp"

#include "stillwell/report/matrix_sheet.hpp"

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json to_json(const CauseRow& row) {
  Json json{
      {"cause", row.word}, {"returns", to_word(row.returns)}, {"means", row.text}, {"remedy", row.remedy}};
  if (row.verdict >= Verdict::stop) json["waits_for_minimum_run"] = row.waits_for_minimum_run;
  return json;
}

Json to_json(const report::Matrix& matrix, const report::CauseLine& line) {
  Json json = to_json(row_of(line.cause));
  json["pumps"] = Json::object();
  for (std::size_t at = 0; at < line.pumps.size(); ++at) {
    if (const auto& effect = line.pumps[at])
      json["pumps"][matrix.pumps[at]] = {{"does", to_word(effect->verdict)}, {"when", effect->when}};
  }
  return json;
}

Json to_json(const report::Matrix& matrix, const report::AlarmLine& line) {
  const Alarm& alarm = line.alarm;
  Json json{{"alarm", alarm.id}, {"when", line.when}};
  if (is_of_level(alarm.kind)) json["at_m"] = alarm.at.value();
  json["after_s"] = seconds_of(alarm.after);
  json["until"] = line.until;
  if (is_of_level(alarm.kind)) json["clears_at_m"] = alarm.clears_at.value();
  json["clear_after_s"] = seconds_of(alarm.clear_after);
  json["priority"] = to_word(alarm.priority);
  json["latch"] = alarm.latch;
  json["sounds"] = Json::array();
  for (std::size_t at = 0; at < line.sounds.size(); ++at)
    if (line.sounds[at]) json["sounds"].push_back(matrix.annunciators[at]);
  return json;
}

}  // namespace

std::string matrix_json(const report::Matrix& matrix, const std::string& site, const std::string& file,
                        const std::string& checksum) {
  Json json{{"site", site},
            {"configuration", file},
            {"crc_32", checksum},
            {"causes", Json::array()},
            {"alarms", Json::array()}};
  for (const report::CauseLine& line : matrix.causes)
    json["causes"].push_back(to_json(matrix, line));
  for (const report::AlarmLine& line : matrix.alarms)
    json["alarms"].push_back(to_json(matrix, line));
  return dumped(json);
}

std::string modes_json() {
  Json modes = Json::array();
  for (const CauseRow& row : cause_table()) {
    Json json = to_json(row);
    json["does"] = Json::object();
    for (const Standing standing : kEveryStanding)
      json["does"][std::string(to_word(standing))] = to_word(verdict_in(standing, row.cause));
    json["set_member"] = to_word(row.turn);
    modes.push_back(std::move(json));
  }
  return dumped({{"modes", std::move(modes)}});
}

}  // namespace stillwell::command
