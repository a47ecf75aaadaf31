#include "stillwell/report/homie_topics.hpp"

namespace stillwell::report {

std::string homie_topic(std::string_view device, std::string_view rest) {
  return std::string{kHomieBase}.append(device).append("/").append(rest);
}

std::string homie_topic(std::string_view device, std::string_view node, std::string_view property) {
  return homie_topic(device, node).append("/").append(property);
}

std::string device_of(const Model& model, const Tank& tank) {
  return model.id + "-" + tank.id;
}

std::string device_of(const Model& model, const Pump& pump) {
  return model.id + "-" + pump.id;
}

std::string device_of(const Model& model, const Alarm& alarm) {
  if (const auto* tank = std::get_if<TankIndex>(&alarm.of)) return device_of(model, model.tanks[tank->at]);
  if (const auto* pump = std::get_if<PumpIndex>(&alarm.of)) return device_of(model, model.pumps[pump->at]);
  return model.id;
}

std::string device_of(const Model& model, std::string_view subject) {
  for (const Tank& tank : model.tanks)
    if (tank.id == subject) return device_of(model, tank);
  for (const Pump& pump : model.pumps)
    if (pump.id == subject) return device_of(model, pump);
  for (const Alarm& alarm : model.alarms)
    if (alarm.id == subject) return device_of(model, alarm);
  return model.id;
}

std::string alarm_property(const Model& model, const Alarm& alarm) {
  std::string kind{to_word(alarm.kind)};
  if (const auto* contact = std::get_if<ContactIndex>(&alarm.of))
    return kind + "-" + model.contacts[contact->at].id;
  if (const auto* line = std::get_if<LineIndex>(&alarm.of)) return kind + "-" + model.lines[line->at].id;
  return kind;
}

}  // namespace stillwell::report
