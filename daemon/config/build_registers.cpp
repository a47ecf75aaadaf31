#include "stillwell/config/build.hpp"
#include "stillwell/config/registers.hpp"
#include "stillwell/reading/water.hpp"

namespace stillwell::config {
namespace {

Table table_of(const Checked& section) {
  return value_or<std::string>(section, "table") == "holding" ? Table::holding : Table::input;
}

Encoding encoding_in(const Checked& section) {
  return encoding_of(value_or<std::string>(section, "as")).value_or(Encoding::u16);
}

int address_of(const Checked& section) {
  return static_cast<int>(value_or<std::int64_t>(section, "address"));
}

void expect_end(Build& build, const Checked& section, const Span& span) {
  constexpr int kLastRegister = 65535;
  if (span.address + span.count - 1 <= kLastRegister) return;
  build.tell(section.at("address"), "the number would not end before the last register, 65535");
}

/// Two counts and what they stand for, as a straight line.
template <class Unit>
void build_scale(Build& build, const Checked& section, RegisterNumber& number) {
  const std::vector<Checked>& points = section.all("scale");
  if (points.size() != 2) return;
  const auto first = points[0].get<double>("count");
  const auto second = points[1].get<double>("count");
  const auto from = points[0].get<Unit>("value");
  const auto to = points[1].get<Unit>("value");
  if (!first || !second || !from || !to) return;
  if (*first == *second) {
    return build.tell(points[1].at("count"),
                      "both points have this count; expected two, such as those at 4 mA and at 20 mA");
  }
  if (*from == *to) {
    return build.tell(points[1].at("value"),
                      "both points stand for the same, and so would every count; expected another value");
  }
  number.is_scaled = true;
  number.unit = (to->value() - from->value()) / (*second - *first);
  number.offset = from->value() - *first * number.unit;
}

/// What the scale calls a reading must not be called a fault.
void check_fault_limits(Build& build, const Checked& section, const RegisterNumber& number) {
  if (number.fault_below && number.fault_above && *number.fault_below >= *number.fault_above) {
    return build.tell(section.at("fault_above"),
                      "every count would be a fault; expected more than "
                      "fault_below (" +
                          shortest(*number.fault_below) + ")");
  }
  for (const Checked& point : section.all("scale")) {
    const auto count = point.get<double>("count");
    if (count && number.fault_below && *count < *number.fault_below) {
      build.tell(section.at("fault_below"), "the scale has a point at " + shortest(*count) +
                                                ", which would be a fault; expected at most that");
    }
    if (count && number.fault_above && *count > *number.fault_above) {
      build.tell(section.at("fault_above"), "the scale has a point at " + shortest(*count) +
                                                ", which would be a fault; expected at least that");
    }
  }
}

template <class Unit>
RegisterNumber number_in(Build& build, const Checked& section) {
  RegisterNumber number;
  number.table = table_of(section);
  number.address = address_of(section);
  number.as = encoding_in(section);
  if (const auto unit = section.get<Unit>("unit")) number.unit = unit->value();
  build_scale<Unit>(build, section, number);
  if (const auto offset = section.get<Unit>("offset")) number.offset += offset->value();
  number.fault_below = section.get<double>("fault_below");
  number.fault_above = section.get<double>("fault_above");
  check_fault_limits(build, section, number);
  expect_end(build, section, span_of(number));
  return number;
}

/// A pressure is told in metres of conventional water from here on: a depth like any other.
RegisterNumber pressure_in(Build& build, const Checked& section) {
  RegisterNumber number = number_in<Pascals>(build, section);
  const double depth_of_one = depth_under(Pascals{1.0}, kConventionalDensity).value();
  number.unit *= depth_of_one;
  number.offset *= depth_of_one;
  return number;
}

StatusRegister build_status(Build& build, const Checked& section) {
  StatusRegister status;
  status.table = table_of(section);
  status.address = address_of(section);
  status.as = encoding_in(section);
  status.mask = status.as == Encoding::u16 ? 0xFFFF : 0xFFFF'FFFF;
  if (const auto mask = section.get<std::int64_t>("mask")) status.mask &= static_cast<std::uint32_t>(*mask);
  for (const Value& value : section.list("good")) {
    const auto good = static_cast<std::uint32_t>(std::get<std::int64_t>(value));
    if ((good & ~status.mask) != 0) {
      build.tell(section.at("good"),
                 std::to_string(good) +
                     " has bits that are not looked at and would never be found; expected "
                     "bits of mask, and of the register, alone");
    }
    status.good.push_back(good);
  }
  expect_end(build, section, span_of(status));
  return status;
}

}  // namespace

std::string_view number_key(const Checked& gauge) {
  if (gauge.has("pressure")) return "pressure";
  return gauge.has("depth") ? "depth" : "distance";
}

RegisterNumber build_load(Build& build, const Checked& section, LoadKind kind) {
  return kind == LoadKind::power ? number_in<Watts>(build, section) : number_in<Amperes>(build, section);
}

ModbusGauge build_modbus_gauge(Build& build, const Checked& section) {
  ModbusGauge gauge;
  gauge.station = static_cast<int>(value_or<std::int64_t>(section, "station", 1));
  const Checked* number = section.part(number_key(section));
  if (number != nullptr) {
    gauge.number = section.has("pressure") ? pressure_in(build, *number) : number_in<Metres>(build, *number);
  }
  if (const Checked* air = section.part("air")) gauge.air = number_in<Celsius>(build, *air);
  if (const Checked* humidity = section.part("humidity"))
    gauge.humidity = number_in<Percent>(build, *humidity);
  if (const Checked* water = section.part("water")) gauge.water = number_in<Celsius>(build, *water);
  if (const Checked* status = section.part("status")) gauge.status = build_status(build, *status);
  return gauge;
}

}  // namespace stillwell::config
