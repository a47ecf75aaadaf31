#include "stillwell/config/build.hpp"
#include "stillwell/config/registers.hpp"
#include "stillwell/field/frames/format.hpp"

#include <map>

namespace stillwell::config {
namespace {

constexpr std::size_t kLastRegister = 65535;

// Where the site says nothing: under a roof in the sun, in a frosty night.
constexpr TemperatureRange kAir{Celsius{-10.0}, Celsius{50.0}};
constexpr TemperatureRange kWater{Celsius{0.0}, Celsius{30.0}};

template <class Unit>
RegisterNumber build_number(Build& build, const Checked& section) {
  RegisterNumber number;
  number.table = value_or<std::string>(section, "table") == "holding" ? Table::holding : Table::input;
  number.address = static_cast<int>(value_or<std::int64_t>(section, "address"));
  number.as = encoding_of(value_or<std::string>(section, "as")).value_or(Encoding::u16);
  if (const auto unit = section.get<Unit>("unit")) number.unit = unit->value();
  if (static_cast<std::size_t>(number.address) + width_of(number.as) - 1 > kLastRegister) {
    build.tell(section.at("address"), "the number would not end before the last register, 65535");
  }
  return number;
}

field::FrameFormat build_frame(Build& build, const Checked& section) {
  field::FrameFormat format;
  const bool is_text = value_or<std::string>(section, "kind") == "text";
  format.kind = is_text ? field::FrameKind::text : field::FrameKind::binary;
  format.start = static_cast<std::uint8_t>(value_or<std::int64_t>(section, "start", format.start));
  format.value = value_or<std::string>(section, "value") == "u16le" ? field::FrameValue::u16le
                                                                    : field::FrameValue::u16be;
  format.sum =
      value_or<std::string>(section, "sum") == "none" ? field::FrameSum::none : field::FrameSum::low_byte;
  format.unit = value_or<Metres>(section, "unit");
  if (const auto ask = section.get<std::int64_t>("ask")) format.ask = static_cast<std::uint8_t>(*ask);
  format.pattern = value_or<std::string>(section, "pattern");
  if (is_text && !format.pattern.empty()) {
    if (const auto fault = field::fault_of_pattern(format.pattern)) build.tell(section.at("pattern"), *fault);
  }
  return format;
}

ModbusGauge build_modbus(Build& build, const Checked& section, const Checked& number) {
  ModbusGauge gauge;
  gauge.station = static_cast<int>(value_or<std::int64_t>(section, "station", 1));
  gauge.number = build_number<Metres>(build, number);
  if (const Checked* air = section.part("air")) gauge.air = build_number<Celsius>(build, *air);
  return gauge;
}

/// The site's stated range, coldest first.
TemperatureRange range_of(const Build& build, std::string_view key, TemperatureRange otherwise) {
  const Checked* site = build.root.part("site");
  const auto ends = site == nullptr ? std::vector<Value>{} : site->list(key);
  if (ends.size() != 2) return otherwise;
  return {std::get<Celsius>(ends[0]), std::get<Celsius>(ends[1])};
}

Correction build_correction(const Build& build, const Checked& section) {
  Correction correction;
  correction.assumes = section.get<Celsius>("assumes");
  correction.air = range_of(build, "air", kAir);
  if (section.has("water")) correction.water = range_of(build, "water", kWater);
  return correction;
}

GaugeRules build_rules(Build& build, const Checked& section, Duration every) {
  GaugeRules rules;
  rules.measures = section.has("depth") ? Measures::depth : Measures::distance;
  rules.blanking = value_or<Metres>(section, "blanking");
  rules.reach = section.get<Metres>("reach");
  rules.beam = section.get<Degrees>("beam");
  rules.stale_after = stale_after(build, section, every);
  rules.correction = build_correction(build, section);
  if (rules.reach && *rules.reach <= rules.blanking) {
    build.tell(section.at("reach"),
               "the sensor would see nothing; expected more than blanking (" + to_text(rules.blanking) + ")");
  }
  return rules;
}

GaugeWiring build_wiring(Build& build, const Checked& section) {
  GaugeWiring wiring;
  wiring.line = {build.refer(section, "line", "lines").value_or(0)};
  wiring.every = value_or<Duration>(section, "every");
  if (const Checked* frame = section.part("frame")) {
    wiring.source = build_frame(build, *frame);
    expect_carries(build, section, wiring.line, Carries::range_frames);
    return wiring;
  }
  const Checked* number = section.part(section.has("depth") ? "depth" : "distance");
  if (number == nullptr) return wiring;
  wiring.source = build_modbus(build, section, *number);
  expect_carries(build, section, wiring.line, Carries::modbus);
  return wiring;
}

}  // namespace

void build_gauges(Build& build) {
  std::map<std::size_t, std::string> frame_gauges;  // nothing in a range frame says which sensor sent it
  for (const Checked& section : build.root.named("gauges")) {
    GaugeWiring wiring = build_wiring(build, section);
    build.out.model.gauges.push_back({section.id, build_rules(build, section, wiring.every)});
    if (section.has("frame") && section.get<std::string>("line")) {
      const auto [first, is_new] = frame_gauges.emplace(wiring.line.at, section.id);
      if (!is_new) {
        build.tell(
            section.at("line"),
            "gauge '" + first->second + "' already has this line; a line of range frames carries one sensor");
      }
    }
    build.out.wiring.gauges.push_back(std::move(wiring));
  }
}

}  // namespace stillwell::config
