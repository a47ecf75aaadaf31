#pragma once
// The site as the rules see it: what the configuration became after every check. Lists are in the order of
// the file; the readings, the memory and the views use the same positions.

#include "stillwell/alarm/alarm.hpp"
#include "stillwell/alarm/annunciator.hpp"
#include "stillwell/pump/pump_set.hpp"
#include "stillwell/reading/gauge.hpp"
#include "stillwell/reading/meter.hpp"
#include "stillwell/reading/switch.hpp"
#include "stillwell/tank/tank.hpp"

#include <optional>
#include <string>
#include <vector>

namespace stillwell {

struct Gauge {
  std::string id;
  GaugeRules rules;
  std::optional<LineIndex> line{};
};

struct Switch {
  std::string id;
  SwitchRules rules;
  std::optional<LineIndex> line{};
};

struct Meter {
  std::string id;
  MeterRules rules;
};

struct Contact {
  std::string id;
  std::optional<LineIndex> line{};  ///< empty: not on a line
};

struct Line {
  std::string id;
};

struct Model {
  std::string id;  ///< of the gateway, a-z 0-9 -
  std::string name;
  Duration scan{};     ///< how often the rules are solved at least
  Duration stagger{};  ///< between the starts of two pumps
  std::vector<Line> lines;
  std::vector<Gauge> gauges;
  std::vector<Switch> switches;
  std::vector<Meter> meters;
  std::vector<Contact> contacts;
  std::vector<Tank> tanks;
  std::vector<Alarm> alarms;
  std::vector<Pump> pumps;
  std::vector<PumpSet> sets;              ///< a pump is in one at most
  std::vector<Annunciator> annunciators;  ///< none has the contact of a pump
};

}  // namespace stillwell
