// The grammar of numbers in Modbus registers.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array<Name, 2> kTables{"input", "holding"};
constexpr std::array<Name, 10> kEncodings{"u16",   "i16",   "u32be", "u32le", "i32be",
                                          "i32le", "f32be", "f32le", "f32bs", "f32ls"};
constexpr std::array<Name, 3> kUnsigned{"u16", "u32be", "u32le"};
constexpr Key kTable{.name = "table",
                     .kind = Kind::word,
                     .required = true,
                     .words = kTables,
                     .doc = "input registers are read with function 4, holding registers with 3"};
constexpr Key kEncoding{
    .name = "as",
    .kind = Kind::word,
    .required = true,
    .words = kEncodings,
    .doc =
        "how the number lies in its registers: be is high register first, le low register "
        "first, bs and ls the same with the bytes of each register swapped"};

/// A point of a scale, [819, 0 m].
constexpr std::array<Key, 2> point(Kind kind, Name least, Name most) {
  return {Key{.name = "count", .kind = Kind::number, .required = true, .doc = "as it lies in the registers"},
          Key{.name = "value",
              .kind = kind,
              .required = true,
              .least = least,
              .most = most,
              .doc = "what this count stands for"}};
}
constexpr auto kLengthPointKeys = point(Kind::length, "-100 m", "100 m");
constexpr auto kPressurePointKeys = point(Kind::pressure, "-1000 kPa", "1000 kPa");
constexpr auto kTemperaturePointKeys = point(Kind::temperature, "-100 degC", "200 degC");
constexpr auto kHumidityPointKeys = point(Kind::percent, "-100 %", "200 %");
constexpr auto kLoadPointKeys = point(Kind::load, {}, {});
constexpr Name kPointDoc = "A count, and what it stands for.";
constexpr Section kLengthPoint{
    .name = "length point", .doc = kPointDoc, .keys = kLengthPointKeys, .form = Form::row};
constexpr Section kPressurePoint{
    .name = "pressure point", .doc = kPointDoc, .keys = kPressurePointKeys, .form = Form::row};
constexpr Section kTemperaturePoint{
    .name = "temperature point", .doc = kPointDoc, .keys = kTemperaturePointKeys, .form = Form::row};
constexpr Section kLoadPoint{
    .name = "load point", .doc = kPointDoc, .keys = kLoadPointKeys, .form = Form::row};
constexpr Section kHumidityPoint{
    .name = "humidity point", .doc = kPointDoc, .keys = kHumidityPointKeys, .form = Form::row};

constexpr Key kFaultBelow{.name = "fault_below",
                          .kind = Kind::number,
                          .otherwise = "no limit",
                          .doc =
                              "a count below this is a fault of the sensor or its wire, such as a broken "
                              "4-20 mA loop, and never a reading"};
constexpr Key kFaultAbove{.name = "fault_above",
                          .kind = Kind::number,
                          .otherwise = "no limit",
                          .doc = "a count above this likewise"};

constexpr Key unit(Kind kind, Name least, Name most) {
  return {.name = "unit", .kind = kind, .least = least, .most = most, .doc = "what one count is worth"};
}
constexpr Key scale(const Section& points) {
  return {.name = "scale",
          .kind = Kind::section,
          .list = true,
          .items = 2,
          .section = &points,
          .doc = "two counts and what they stand for; the straight line through them holds beyond them too"};
}
constexpr Key offset(Kind kind, Name none, Name least, Name most) {
  return {.name = "offset",
          .kind = kind,
          .fallback = none,
          .least = least,
          .most = most,
          .doc = "added to what unit or scale give"};
}

// No limits: they would have to be given in both units.
constexpr Key kLoadUnit{.name = "unit",
                        .kind = Kind::load_count,
                        .doc =
                            "what one count is worth; it says too whether the meter shows a power or a "
                            "current"};
constexpr Key kLengthUnit = unit(Kind::length_count, "0.001 mm", "1 m");
constexpr Key kPressureUnit = unit(Kind::pressure_count, "0.00001 kPa", "10 kPa");
constexpr Key kTemperatureUnit = unit(Kind::temperature_count, "0.001 degC", "10 degC");
constexpr Key kHumidityUnit = unit(Kind::percent_count, "0.001 %", "10 %");
constexpr Key kLengthOffset = offset(Kind::length, "0 m", "-100 m", "100 m");
constexpr Key kPressureOffset = offset(Kind::pressure, "0 kPa", "-1000 kPa", "1000 kPa");

constexpr std::array kLengthKeys{kTable,        kAddress,    kEncoding,  kLengthUnit, scale(kLengthPoint),
                                 kLengthOffset, kFaultBelow, kFaultAbove};
constexpr std::array kPressureKeys{
    kTable,          kAddress,    kEncoding,  kPressureUnit, scale(kPressurePoint),
    kPressureOffset, kFaultBelow, kFaultAbove};
constexpr std::array kTemperatureKeys{
    kTable, kAddress, kEncoding, kTemperatureUnit, scale(kTemperaturePoint), kFaultBelow, kFaultAbove};
constexpr std::array kHumidityKeys{kTable,      kAddress,   kEncoding, kHumidityUnit, scale(kHumidityPoint),
                                   kFaultBelow, kFaultAbove};
constexpr std::array kMeterKeys{kOnLine,           kStation,    kTable,      kAddress, kEncoding,  kLoadUnit,
                                scale(kLoadPoint), kFaultBelow, kFaultAbove, kEvery,   kStaleAfter};
constexpr std::array<Name, 2> kWorth{"unit", "scale"};
constexpr std::array kWorthOneOf{OneOf{kWorth}};

constexpr std::array kStatusKeys{
    kTable, kAddress,
    Key{.name = "as",
        .kind = Kind::word,
        .fallback = "u16",
        .words = kUnsigned,
        .doc = "how the bits lie in their registers"},
    Key{.name = "good",
        .kind = Kind::bits,
        .required = true,
        .list = true,
        .least = "0",
        .most = "4294967295",
        .doc = "the words that mean that the reading is good; every other is a fault"},
    Key{.name = "mask",
        .kind = Kind::bits,
        .otherwise = "all bits",
        .least = "1",
        .most = "4294967295",
        .doc = "the bits that are looked at"}};

}  // namespace

constinit const Section kLengthRegister{.name = "length register",
                                        .doc = "A length in Modbus registers.",
                                        .keys = kLengthKeys,
                                        .one_of = kWorthOneOf};
constinit const Section kPressureRegister{.name = "pressure register",
                                          .doc = "A pressure in Modbus registers.",
                                          .keys = kPressureKeys,
                                          .one_of = kWorthOneOf};
constinit const Section kTemperatureRegister{.name = "temperature register",
                                             .doc = "A temperature in Modbus registers.",
                                             .keys = kTemperatureKeys,
                                             .one_of = kWorthOneOf};
constinit const Section kHumidityRegister{.name = "humidity register",
                                          .doc = "A relative humidity in Modbus registers.",
                                          .keys = kHumidityKeys,
                                          .one_of = kWorthOneOf};
constinit const Section kMeter{.name = "meter",
                               .doc =
                                   "What a motor takes, as a meter in its supply shows it. A pump's "
                                   "dry_run.power reads it.",
                               .keys = kMeterKeys,
                               .one_of = kWorthOneOf};
constinit const Section kStatusRegister{.name = "status register",
                                        .doc = "Where the sensor itself says whether its reading is good.",
                                        .keys = kStatusKeys};

}  // namespace stillwell::config
