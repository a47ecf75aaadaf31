#include "stillwell/plant/fault.hpp"

#include "stillwell/quantity/units.hpp"

#include <array>

namespace stillwell::plant {
namespace {

constexpr std::uint8_t bit(Part part) {
  return static_cast<std::uint8_t>(1U << static_cast<unsigned>(part));
}

constexpr std::uint8_t kGauge = bit(Part::gauge);
constexpr std::uint8_t kInput = bit(Part::input);
constexpr std::uint8_t kMeter = bit(Part::meter);
constexpr std::uint8_t kContact = bit(Part::contact);
constexpr std::uint8_t kLine = bit(Part::line);
constexpr std::uint8_t kTank = bit(Part::tank);
constexpr std::uint8_t kPump = bit(Part::pump);
constexpr std::uint8_t kWired = kGauge | kInput | kMeter | kContact | kLine;

constexpr Amount kSizeless{};
constexpr bool kNeeded = true;

constexpr std::array kRows{
    FaultRow{FaultKind::silence, "silence", kWired, kSizeless, false, "its station sends nothing at all"},
    FaultRow{FaultKind::bad_sum, "bad-sum", kWired, kSizeless, false,
             "its station's replies carry a wrong check sum"},
    FaultRow{FaultKind::garbage, "garbage", kWired, kSizeless, false,
             "its station sends bytes without meaning"},
    FaultRow{FaultKind::late, "late", kWired, Amount{Duration{std::chrono::milliseconds{700}}}, false,
             "its station answers so much later"},
    FaultRow{FaultKind::exception, "exception", kWired, kSizeless, false,
             "its Modbus station answers every request with exception 4"},
    FaultRow{FaultKind::refuses_long, "refuses-long", kWired, kSizeless, false,
             "its Modbus station answers a read beyond its own registers with exception 2"},
    FaultRow{FaultKind::spike, "spike", kGauge, Amount{Metres{0.5}}, false,
             "every fourth reading is off by so much, up and down in turn"},
    FaultRow{FaultKind::frozen, "frozen", kGauge | kInput | kMeter, kSizeless, false,
             "it repeats what it said last"},
    FaultRow{FaultKind::stuck, "stuck", kGauge, Amount{Metres{0.0}}, kNeeded,
             "it says this number, whatever the water does"},
    FaultRow{FaultKind::noise, "noise", kGauge, Amount{Metres{0.05}}, false,
             "its readings scatter by so much"},
    FaultRow{FaultKind::broken_wire, "broken-wire", kInput, kSizeless, false, "its circuit is open"},
    FaultRow{FaultKind::misreads, "misreads", kMeter, Amount{Percent{0.0}}, false,
             "it shows so much of what the motor takes"},
    FaultRow{FaultKind::welded, "welded", kContact, kSizeless, false,
             "its main circuit stays closed, whatever the coil does"},
    FaultRow{FaultKind::open_circuit, "open-circuit", kContact, kSizeless, false,
             "its main circuit stays open, whatever the coil does"},
    FaultRow{FaultKind::ignores_writes, "ignores-writes", kContact, kSizeless, false,
             "a write moves nothing and is not answered; reads tell the truth"},
    FaultRow{FaultKind::lying_echo, "lying-echo", kContact, kSizeless, false,
             "a write is echoed as if it were done and moves nothing; reads tell the truth"},
    FaultRow{FaultKind::unplugged, "unplugged", kLine, kSizeless, false,
             "its port is gone from the computer"},
    FaultRow{FaultKind::dry, "dry", kTank, kSizeless, false,
             "nothing flows in, and what is there vanishes within seconds"},
    FaultRow{FaultKind::airlock, "airlock", kPump, kSizeless, false, "it turns and moves no water"},
};

template <class List>
void collect(const List& list, Part part, std::string_view id, std::vector<Target>& found) {
  for (std::size_t at = 0; at < list.size(); ++at) {
    if (list[at].id == id) found.push_back({part, at});
  }
}

template <class T>
Result<Amount> as_amount(const Result<T>& parsed) {
  if (!parsed) return Failure{parsed.error()};
  return Amount{*parsed};
}

Result<Percent> not_negative(const Result<Percent>& parsed) {
  if (parsed && *parsed < Percent{0.0}) return Failure{"a share is not negative"};
  return parsed;
}

}  // namespace

std::string_view to_word(Part part) {
  switch (part) {
    case Part::gauge: return "gauge";
    case Part::input: return "switch";
    case Part::meter: return "meter";
    case Part::contact: return "contact";
    case Part::line: return "line";
    case Part::tank: return "tank";
    case Part::pump: return "pump";
  }
  return {};
}

std::span<const FaultRow> fault_table() {
  return kRows;
}

const FaultRow& row_of(FaultKind kind) {
  return kRows.at(static_cast<std::size_t>(kind));
}

Result<FaultKind> find_fault(std::string_view word) {
  std::string words;
  for (const FaultRow& row : kRows) {
    if (row.word == word) return row.kind;
    words += (words.empty() ? "" : ", ") + std::string{row.word};
  }
  return Failure{"'" + std::string{word} + "' is no fault; there are " + words};
}

std::vector<Target> find_targets(const Model& model, std::string_view id) {
  std::vector<Target> found;
  collect(model.gauges, Part::gauge, id, found);
  collect(model.switches, Part::input, id, found);
  collect(model.meters, Part::meter, id, found);
  collect(model.contacts, Part::contact, id, found);
  collect(model.lines, Part::line, id, found);
  collect(model.tanks, Part::tank, id, found);
  collect(model.pumps, Part::pump, id, found);
  return found;
}

Result<Target> find_target(const Model& model, FaultKind kind, std::string_view id) {
  const FaultRow& row = row_of(kind);
  for (const Target& target : find_targets(model, id)) {
    if (row.can_befall(target.part)) return target;
  }
  std::string parts;
  for (const Part part :
       {Part::gauge, Part::input, Part::meter, Part::contact, Part::line, Part::tank, Part::pump}) {
    if (row.can_befall(part)) parts += (parts.empty() ? "" : ", ") + std::string{to_word(part)};
  }
  return Failure{"'" + std::string{row.word} + "' befalls a " + parts + "; none is named '" +
                 std::string{id} + "'"};
}

Result<Amount> parse_amount(FaultKind kind, std::string_view text) {
  const FaultRow& row = row_of(kind);
  const std::string word{row.word};
  if (text.empty() && row.needs_amount) return Failure{"'" + word + "' needs a size, for example 1.2 m"};
  if (text.empty()) return row.usual;
  if (std::holds_alternative<Metres>(row.usual)) return as_amount(parse_length(text));
  if (std::holds_alternative<Duration>(row.usual)) return as_amount(parse_duration(text));
  if (std::holds_alternative<Percent>(row.usual)) return as_amount(not_negative(parse_percent(text)));
  return Failure{"'" + word + "' takes no size"};
}

}  // namespace stillwell::plant
