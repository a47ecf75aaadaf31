#pragma once
// One Modbus station of the orchard: which registers the wiring gives it, what they show of the plant, and
// how its replies are spoilt while a fault lasts. Pure: a request and the plant in, a reply out.

#include "stillwell/config/configuration.hpp"
#include "stillwell/orchard/modbus.hpp"
#include "stillwell/plant/plant.hpp"

#include <map>
#include <variant>
#include <vector>

namespace stillwell::orchard {

struct GaugeCell {
  GaugeIndex gauge;
  config::RegisterNumber number;
};
struct AirCell {
  config::RegisterNumber number;
};
/// What never changes here: a humidity, a water temperature, a status that is good.
struct StillCell {
  std::vector<std::uint16_t> words;
};
struct InputCell {
  SwitchIndex input;
};
struct MeterCell {
  MeterIndex meter;
  config::RegisterNumber number;
};
struct CoilCell {
  ContactIndex contact;
};
struct OutputCell {
  ContactIndex contact;
  config::RegisterOutput output;
};
struct RefreshCell {
  ContactIndex contact;
  Duration unit{};
};

/// Something of the plant at one place of a register table.
struct Cell {
  config::Table table = config::Table::holding;
  int address = 0;
  int words = 1;
  std::variant<GaugeCell, AirCell, StillCell, InputCell, MeterCell, CoilCell, OutputCell, RefreshCell> shows;
};

struct Module {
  std::vector<Cell> cells;
  std::vector<plant::Target> parts;  ///< whose faults spoil its replies: its line and all that it carries
};

/// The stations of a line by their address.
std::map<int, Module> modules_on(LineIndex line, const config::Wiring& wiring);

struct Reply {
  Bytes frame;
  Duration late{};  ///< how much later than at once
};

/// What a station sends for an intact request frame, or nothing.
std::optional<Reply> respond(ByteView request, const Module& module, plant::Plant& plant,
                             plant::Chance& chance);

}  // namespace stillwell::orchard
