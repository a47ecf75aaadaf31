// The grammar of gauges.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array<Name, 2> kNumberTables{"input", "holding"};
constexpr std::array<Name, 10> kEncodings{"u16",   "i16",   "u32be", "u32le", "i32be",
                                          "i32le", "f32be", "f32le", "f32bs", "f32ls"};
constexpr Key kTableOfNumber{.name = "table",
                             .kind = Kind::word,
                             .required = true,
                             .words = kNumberTables,
                             .doc = "input registers are read with function 4, holding registers with 3"};
constexpr Key kEncoding{
    .name = "as",
    .kind = Kind::word,
    .required = true,
    .words = kEncodings,
    .doc =
        "how the number lies in its registers: be is high register first, le low register "
        "first, bs and ls the same with the bytes of each register swapped"};
constexpr std::array kLengthRegisterKeys{kTableOfNumber, kAddress, kEncoding,
                                         Key{.name = "unit",
                                             .kind = Kind::length_count,
                                             .required = true,
                                             .least = "0.001 mm",
                                             .most = "1 m",
                                             .doc = "what one count is worth"}};
constexpr std::array kAirRegisterKeys{kTableOfNumber, kAddress, kEncoding,
                                      Key{.name = "unit",
                                          .kind = Kind::temperature_count,
                                          .required = true,
                                          .least = "0.001 degC",
                                          .most = "10 degC",
                                          .doc = "what one count is worth"}};
constexpr std::array<Name, 3> kNumberLater{"scale", "fault_below", "fault_above"};
constexpr Section kLengthRegister{.name = "length register",
                                  .doc = "A length in Modbus registers.",
                                  .keys = kLengthRegisterKeys,
                                  .later = kNumberLater};
constexpr Section kAirRegister{.name = "temperature register",
                               .doc = "A temperature in Modbus registers.",
                               .keys = kAirRegisterKeys,
                               .later = kNumberLater};

constexpr std::array<Name, 2> kFrameKinds{"binary", "text"};
constexpr std::array<Name, 2> kFrameValues{"u16be", "u16le"};
constexpr std::array<Name, 2> kFrameSums{"low-byte", "none"};
constexpr std::array kFrameKeys{
    Key{.name = "kind",
        .kind = Kind::word,
        .required = true,
        .words = kFrameKinds,
        .doc = "bytes or lines of text"},
    Key{.name = "start", .kind = Kind::byte, .least = "0", .most = "255", .doc = "binary: the first byte"},
    Key{.name = "value", .kind = Kind::word, .words = kFrameValues, .doc = "binary: the two bytes after it"},
    Key{.name = "sum",
        .kind = Kind::word,
        .words = kFrameSums,
        .doc = "binary: low-byte is the low byte of the sum of all bytes before it"},
    Key{.name = "pattern", .doc = "text: a line, with one group of digits in it, (\\d{4}) or (\\d+)"},
    Key{.name = "unit",
        .kind = Kind::length_count,
        .required = true,
        .least = "0.001 mm",
        .most = "1 m",
        .doc = "what one count is worth"},
    Key{.name = "ask",
        .kind = Kind::byte,
        .otherwise = "the sensor runs freely",
        .least = "0",
        .most = "255",
        .doc = "the byte that asks for a reading"},
};
constexpr std::array<Name, 3> kBinaryOnly{"start", "value", "sum"};
constexpr std::array<Name, 1> kTextOnly{"pattern"};
constexpr std::array kFrameWhen{
    When{.key = "kind", .word = "binary", .needs = kBinaryOnly, .forbids = kTextOnly},
    When{.key = "kind", .word = "text", .needs = kTextOnly, .forbids = kBinaryOnly}};
constexpr Section kFrame{.name = "range frame",
                         .doc = "How a distance sensor writes a reading on its line.",
                         .keys = kFrameKeys,
                         .when = kFrameWhen};

constexpr std::array kGaugeKeys{
    kOnLine,
    Key{.name = "station",
        .kind = Kind::integer,
        .least = "1",
        .most = "247",
        .doc = "address of the Modbus server; with distance and depth"},
    Key{.name = "distance",
        .kind = Kind::section,
        .section = &kLengthRegister,
        .doc = "from the sensor's face down to the water"},
    Key{.name = "depth",
        .kind = Kind::section,
        .section = &kLengthRegister,
        .doc = "of the water above a submerged sensor"},
    Key{.name = "frame", .kind = Kind::section, .section = &kFrame, .doc = "a distance in range frames"},
    Key{.name = "air",
        .kind = Kind::section,
        .section = &kAirRegister,
        .doc = "the temperature of the air that it measures through, read beside the distance"},
    kEvery,
    kStaleAfter,
    Key{.name = "blanking",
        .kind = Kind::length,
        .fallback = "0 cm",
        .least = "0 m",
        .most = "10 m",
        .doc = "nearer than this the sensor cannot see"},
    Key{.name = "reach",
        .kind = Kind::length,
        .otherwise = "no limit",
        .least = "1 cm",
        .most = "100 m",
        .doc = "farther than this it cannot see"},
    Key{.name = "beam",
        .kind = Kind::angle,
        .otherwise = "not checked",
        .least = "1 deg",
        .most = "90 deg",
        .doc = "the whole angle of its beam; check tells where it would meet the wall"},
    Key{.name = "assumes",
        .kind = Kind::temperature,
        .otherwise = "its distance is taken at its word",
        .least = "-40 degC",
        .most = "60 degC",
        .doc =
            "the air temperature that an ultrasonic sensor's own arithmetic takes for granted: with air the "
            "distance is corrected, without it the level carries the doubt of site.air"},
    Key{.name = "mounted_at",
        .kind = Kind::length,
        .otherwise = "0 cm",
        .least = "0 m",
        .most = "100 m",
        .doc = "height of a depth sensor above the tank's floor"},
};
constexpr std::array<Name, 3> kSources{"distance", "depth", "frame"};
constexpr std::array kGaugeOneOf{OneOf{kSources}};
constexpr std::array<Name, 1> kStationName{"station"};
constexpr std::array<Name, 1> kNotForDistance{"mounted_at"};
constexpr std::array<Name, 4> kNotForDepth{"air", "blanking", "assumes", "beam"};
constexpr std::array<Name, 3> kNotForFrame{"station", "air", "mounted_at"};
constexpr std::array kGaugeWhen{When{.key = "distance", .needs = kStationName, .forbids = kNotForDistance},
                                When{.key = "depth", .needs = kStationName, .forbids = kNotForDepth},
                                When{.key = "frame", .forbids = kNotForFrame}};
constexpr std::array<Name, 1> kGaugeLater{"pressure"};

}  // namespace

constinit const Section kGauge{.name = "gauge",
                               .doc = "A level instrument.",
                               .keys = kGaugeKeys,
                               .one_of = kGaugeOneOf,
                               .when = kGaugeWhen,
                               .later = kGaugeLater};
}  // namespace stillwell::config
