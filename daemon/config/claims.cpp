#include "stillwell/config/build.hpp"
#include "stillwell/config/registers.hpp"

#include <map>
#include <utility>

namespace stillwell::config {
namespace {

/// Some registers or bits of a station, and the key of the file that speaks for them.
struct Claim {
  LineIndex line{};
  int station = 0;
  Table table = Table::input;
  int first = 0;
  int count = 1;
  Spot spot{};
  bool is_shared = false;  ///< with others that are: one status may speak for several gauges
};

std::string_view thing(Table table) {
  switch (table) {
    case Table::coil: return "coil";
    case Table::discrete: return "discrete input";
    case Table::input: return "input register";
    case Table::holding: return "holding register";
  }
  return {};
}

bool overlap(const Claim& a, const Claim& b) {
  if (a.is_shared && b.is_shared) return false;
  return a.line == b.line && a.station == b.station && a.table == b.table && a.first < b.first + b.count &&
         b.first < a.first + a.count;
}

void claim_gauge(const GaugeWiring& wiring, const Checked& section, std::vector<Claim>& claims) {
  const auto* modbus = std::get_if<ModbusGauge>(&wiring.source);
  if (modbus == nullptr) return;
  const auto claim = [&](std::string_view key, const Span& span, bool is_shared) {
    const Checked* part = section.part(key);
    if (part == nullptr || !part->has("address")) return;
    claims.push_back(
        {wiring.line, modbus->station, span.table, span.address, span.count, part->at("address"), is_shared});
  };
  claim(number_key(section), span_of(modbus->number), false);
  if (modbus->air) claim("air", span_of(*modbus->air), false);
  if (modbus->humidity) claim("humidity", span_of(*modbus->humidity), false);
  if (modbus->water) claim("water", span_of(*modbus->water), false);
  if (modbus->status) claim("status", span_of(*modbus->status), true);
}

void claim_gauges(const Build& build, std::vector<Claim>& claims) {
  const std::vector<Checked>& sections = build.root.named("gauges");
  for (std::size_t i = 0; i < sections.size(); ++i)
    claim_gauge(build.out.wiring.gauges[i], sections[i], claims);
}

void claim_switches(const Build& build, std::vector<Claim>& claims) {
  const std::vector<Checked>& sections = build.root.named("switches");
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const SwitchWiring& wiring = build.out.wiring.switches[i];
    if (wiring.pin || !sections[i].has("address")) continue;
    claims.push_back(
        {wiring.line, wiring.station, wiring.table, wiring.address, 1, sections[i].at("address"), false});
  }
}

void claim_meters(const Build& build, std::vector<Claim>& claims) {
  const std::vector<Checked>& sections = build.root.named("meters");
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const MeterWiring& wiring = build.out.wiring.meters[i];
    if (!sections[i].has("address")) continue;
    const Span span = span_of(wiring.number);
    claims.push_back({wiring.line, wiring.station, span.table, span.address, span.count,
                      sections[i].at("address"), false});
  }
}

void claim_contacts(const Build& build, std::vector<Claim>& claims) {
  const std::vector<Checked>& sections = build.root.named("contacts");
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const ContactWiring& wiring = build.out.wiring.contacts[i];
    const auto claim = [&](Table table, int address, const Spot& spot) {
      claims.push_back({wiring.line, wiring.station, table, address, 1, spot, false});
    };
    if (const auto* coil = std::get_if<CoilOutput>(&wiring.output);
        coil != nullptr && sections[i].has("coil")) {
      claim(Table::coil, coil->address, sections[i].at("coil"));
    }
    if (const auto* output = std::get_if<RegisterOutput>(&wiring.output)) {
      claim(Table::holding, output->address, sections[i].part("register")->at("address"));
    }
    if (wiring.refresh)
      claim(Table::holding, wiring.refresh->address, sections[i].part("refresh")->at("address"));
  }
}

/// A pin is an input or an output, and of one thing only: the kernel gives it to nobody twice.
void check_pins(Build& build) {
  std::map<std::pair<std::size_t, int>, Spot> taken;
  const auto claim = [&](LineIndex board, const Pin& pin, const Checked& section) {
    if (!section.get<std::string>("board") || !section.get<std::int64_t>("pin")) return;
    const Spot spot = section.at("pin");
    const auto [first, is_new] = taken.emplace(std::pair{board.at, pin.at}, spot);
    if (is_new) return;
    build.tell(spot, "pin " + std::to_string(pin.at) + " of " + build.out.wiring.lines[board.at].id +
                         " is taken by " + first->second.path + " in line " +
                         std::to_string(first->second.place.line));
  };
  const std::vector<Checked>& switches = build.root.named("switches");
  for (std::size_t i = 0; i < switches.size(); ++i) {
    const SwitchWiring& wiring = build.out.wiring.switches[i];
    if (wiring.pin) claim(wiring.line, *wiring.pin, switches[i]);
  }
  const std::vector<Checked>& contacts = build.root.named("contacts");
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    const ContactWiring& wiring = build.out.wiring.contacts[i];
    if (const auto* pin = std::get_if<Pin>(&wiring.output)) claim(wiring.line, *pin, contacts[i]);
  }
}

}  // namespace

void check_claims(Build& build) {
  check_pins(build);
  std::vector<Claim> claims;
  claim_gauges(build, claims);
  claim_switches(build, claims);
  claim_meters(build, claims);
  claim_contacts(build, claims);
  for (std::size_t later = 1; later < claims.size(); ++later) {
    for (std::size_t first = 0; first < later; ++first) {
      if (!overlap(claims[first], claims[later])) continue;
      const Claim& claim = claims[later];
      build.tell(claim.spot, std::string(thing(claim.table)) + " " + std::to_string(claim.first) +
                                 " of station " + std::to_string(claim.station) + " is taken by " +
                                 claims[first].spot.path + " in line " +
                                 std::to_string(claims[first].spot.place.line));
      break;
    }
  }
}

}  // namespace stillwell::config
