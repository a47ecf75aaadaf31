#include "stillwell/orchard/module.hpp"

#include "stillwell/config/registers.hpp"
#include "stillwell/orchard/words.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::orchard {
namespace {

using config::Table;
using plant::FaultKind;
using plant::Part;

/// Common modules let a read run past the registers that mean something and show zeros there.
constexpr int kReadableBeyond = 16;

constexpr double kHumidity = 60.0;  // percent
constexpr double kWater = 15.0;     // degrees Celsius

constexpr std::uint8_t kDeviceFailure = 4;
constexpr std::size_t kGarbageBytes = 8;

std::vector<std::uint16_t> as_words(const config::RegisterNumber& number, double value) {
  return words_of(number.as, (value - number.offset) / number.unit);
}

/// What the plant shows in a cell at this moment.
struct Show {
  plant::Plant& plant;

  std::vector<std::uint16_t> operator()(const GaugeCell& cell) const {
    return as_words(cell.number, plant.sound(cell.gauge).value());
  }
  std::vector<std::uint16_t> operator()(const AirCell& cell) const {
    return as_words(cell.number, plant.air().value());
  }
  std::vector<std::uint16_t> operator()(const StillCell& cell) const { return cell.words; }
  std::vector<std::uint16_t> operator()(const InputCell& cell) const { return one(plant.closed(cell.input)); }
  std::vector<std::uint16_t> operator()(const MeterCell& cell) const {
    return as_words(cell.number, plant.load(cell.meter).value());
  }
  std::vector<std::uint16_t> operator()(const CoilCell& cell) const { return one(plant.coil(cell.contact)); }
  std::vector<std::uint16_t> operator()(const OutputCell& cell) const {
    return {plant.coil(cell.contact) ? cell.output.on : cell.output.off};
  }
  std::vector<std::uint16_t> operator()(const RefreshCell& cell) const {
    const auto left = plant.held(cell.contact) / std::max(cell.unit, Duration{1});
    return {static_cast<std::uint16_t>(std::min<std::int64_t>(left, 0xFFFF))};
  }

  static std::vector<std::uint16_t> one(bool bit) { return {static_cast<std::uint16_t>(bit ? 1 : 0)}; }
};

/// The fault of that kind that spoils a module's replies now, if there is one.
const plant::Fault* spoilt(const Module& module, const plant::Plant& plant, FaultKind kind) {
  for (const plant::Target& part : module.parts) {
    if (const plant::Fault* fault = plant.fault(part, kind)) return fault;
  }
  return nullptr;
}

/// The registers of a module over the plant, for the time of one request.
class Bank final : public Registers {
 public:
  Bank(const Module& module, plant::Plant& plant) : module_{module}, plant_{plant} {}

  std::optional<std::vector<std::uint16_t>> read(Table table, int first, int count) override {
    if (!is_readable(table, first, count)) return std::nullopt;
    std::vector<std::uint16_t> words(static_cast<std::size_t>(count), 0);
    for (const Cell& cell : module_.cells) {
      const bool apart = cell.address >= first + count || cell.address + cell.words <= first;
      if (cell.table != table || apart) continue;
      const auto shown =
          std::visit(Show{plant_}, cell.shows);  // once: the halves of a number belong together
      for (int i = 0; i < cell.words; ++i) {
        const int at = cell.address + i - first;
        if (at >= 0 && at < count) words[static_cast<std::size_t>(at)] = shown[static_cast<std::size_t>(i)];
      }
    }
    return words;
  }

  Written write(Table table, int address, std::uint16_t value) override {
    for (const Cell& cell : module_.cells) {
      if (cell.table != table || cell.address != address) continue;
      if (const auto* coil = std::get_if<CoilCell>(&cell.shows)) return drive(coil->contact, value != 0);
      if (const auto* refresh = std::get_if<RefreshCell>(&cell.shows)) {
        plant_.hold(refresh->contact, refresh->unit * value);
        return Written::done;
      }
      if (const auto* output = std::get_if<OutputCell>(&cell.shows)) {
        if (value == output->output.on || value == output->output.off) {
          return drive(output->contact, value == output->output.on);
        }
      }
    }
    return Written::absent;
  }

 private:
  Written drive(ContactIndex contact, bool on) {
    plant_.write(contact, on);
    const bool deaf = plant_.fault({Part::contact, contact.at}, FaultKind::ignores_writes) != nullptr;
    return deaf ? Written::unheard : Written::done;
  }

  [[nodiscard]] bool is_readable(Table table, int first, int count) const {
    const bool strict = spoilt(module_, plant_, FaultKind::refuses_long) != nullptr;
    int end = 0;
    int covered = 0;
    for (const Cell& cell : module_.cells) {
      if (cell.table != table) continue;
      end = std::max(end, cell.address + cell.words);
      covered +=
          std::max(0, std::min(first + count, cell.address + cell.words) - std::max(first, cell.address));
    }
    if (strict) return covered == count;
    return end > 0 && first + count <= end + kReadableBeyond;
  }

  const Module& module_;
  plant::Plant& plant_;
};

Module& module_at(std::map<int, Module>& modules, int station, plant::Target part, LineIndex line) {
  Module& module = modules[station];
  if (module.parts.empty()) module.parts.push_back({Part::line, line.at});
  module.parts.push_back(part);
  return module;
}

void add_gauge(std::map<int, Module>& modules, const config::GaugeWiring& gauge, GaugeIndex at) {
  const auto* modbus = std::get_if<config::ModbusGauge>(&gauge.source);
  if (modbus == nullptr) return;
  Module& module = module_at(modules, modbus->station, {Part::gauge, at.at}, gauge.line);
  const auto add = [&](const config::Span& span, auto shown) {
    module.cells.push_back({span.table, span.address, span.count, std::move(shown)});
  };
  const auto add_still = [&](const std::optional<config::RegisterNumber>& number, double value) {
    if (number) add(span_of(*number), StillCell{as_words(*number, value)});
  };
  add(span_of(modbus->number), GaugeCell{at, modbus->number});
  if (modbus->air) add(span_of(*modbus->air), AirCell{*modbus->air});
  add_still(modbus->humidity, kHumidity);
  add_still(modbus->water, kWater);
  if (modbus->status) {
    const config::StatusRegister& status = *modbus->status;
    add(span_of(status), StillCell{words_of(status.as, status.good.front())});
  }
}

void add_contact(std::map<int, Module>& modules, const config::ContactWiring& contact, ContactIndex at) {
  Module& module = module_at(modules, contact.station, {Part::contact, at.at}, contact.line);
  if (const auto* coil = std::get_if<config::CoilOutput>(&contact.output)) {
    module.cells.push_back({Table::coil, coil->address, 1, CoilCell{at}});
  }
  if (const auto* output = std::get_if<config::RegisterOutput>(&contact.output)) {
    module.cells.push_back({Table::holding, output->address, 1, OutputCell{at, *output}});
  }
  if (contact.refresh) {
    module.cells.push_back(
        {Table::holding, contact.refresh->address, 1, RefreshCell{at, contact.refresh->unit}});
  }
}

}  // namespace

std::map<int, Module> modules_on(LineIndex line, const config::Wiring& wiring) {
  std::map<int, Module> modules;
  for (std::size_t at = 0; at < wiring.gauges.size(); ++at) {
    if (wiring.gauges[at].line == line) add_gauge(modules, wiring.gauges[at], GaugeIndex{at});
  }
  for (std::size_t at = 0; at < wiring.switches.size(); ++at) {
    const config::SwitchWiring& input = wiring.switches[at];
    if (input.line != line) continue;
    Module& module = module_at(modules, input.station, {Part::input, at}, line);
    module.cells.push_back({input.table, input.address, 1, InputCell{SwitchIndex{at}}});
  }
  for (std::size_t at = 0; at < wiring.meters.size(); ++at) {
    const config::MeterWiring& meter = wiring.meters[at];
    if (meter.line != line) continue;
    const config::Span span = span_of(meter.number);
    Module& module = module_at(modules, meter.station, {Part::meter, at}, line);
    module.cells.push_back({span.table, span.address, span.count, MeterCell{MeterIndex{at}, meter.number}});
  }
  for (std::size_t at = 0; at < wiring.contacts.size(); ++at) {
    if (wiring.contacts[at].line == line) add_contact(modules, wiring.contacts[at], ContactIndex{at});
  }
  return modules;
}

std::optional<Reply> respond(ByteView request, const Module& module, plant::Plant& plant,
                             plant::Chance& chance) {
  if (request.size() < 4 || spoilt(module, plant, FaultKind::silence) != nullptr) return std::nullopt;
  Reply reply;
  if (const plant::Fault* late = spoilt(module, plant, FaultKind::late))
    reply.late = std::get<Duration>(late->amount);
  if (spoilt(module, plant, FaultKind::garbage) != nullptr) {
    for (std::size_t i = 0; i < kGarbageBytes; ++i)
      reply.frame.push_back(chance.byte());
    return reply;
  }
  Bank bank{module, plant};
  const bool broken = spoilt(module, plant, FaultKind::exception) != nullptr;
  const auto pdu = broken ? exception_to(request[1], kDeviceFailure)
                          : answer(request.subspan(1, request.size() - 3), bank);
  if (!pdu) return std::nullopt;
  reply.frame = frame_of(request[0], *pdu);
  if (spoilt(module, plant, FaultKind::bad_sum) != nullptr) reply.frame.back() ^= 0x5AU;
  return reply;
}

}  // namespace stillwell::orchard
