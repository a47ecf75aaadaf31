#include "stillwell/report/level_rows.hpp"

#include "stillwell/quantity/units.hpp"

namespace stillwell::report {

std::string level_header(const Model& model) {
  std::string row = "at";
  for (const Tank& tank : model.tanks)
    row += ",tanks." + tank.id;
  for (const Pump& pump : model.pumps)
    row += ",pumps." + pump.id;
  for (const Alarm& alarm : model.alarms)
    row += ",alarms." + alarm.id;
  return row + "\r\n";
}

std::string level_row(const View& view, Stamp at) {
  std::string row = to_text(at);
  for (const TankView& tank : view.tanks)
    row += "," + (tank.level.usable() ? shortest(tank.level.level->value()) : std::string{});
  for (const PumpView& pump : view.pumps)
    row += pump.order == Order::on ? ",1" : ",0";
  for (const AlarmView& alarm : view.alarms)
    row += stands(alarm.state) ? ",1" : ",0";
  return row + "\r\n";
}

}  // namespace stillwell::report
