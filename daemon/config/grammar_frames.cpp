// The grammar of range frames.
#include "stillwell/config/grammar.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array<Name, 2> kFrameKinds{"binary", "text"};
constexpr std::array<Name, 7> kValues{"u8", "u16be", "u16le", "u24be", "u24le", "u32be", "u32le"};
constexpr std::array<Name, 4> kSums{"low-byte", "xor", "crc-16", "none"};
constexpr std::array kKeys{
    Key{.name = "kind",
        .kind = Kind::word,
        .required = true,
        .words = kFrameKinds,
        .doc = "bytes or lines of text"},
    Key{.name = "start", .kind = Kind::byte, .least = "0", .most = "255", .doc = "binary: the first byte"},
    Key{.name = "lead",
        .kind = Kind::integer,
        .otherwise = "0",
        .least = "0",
        .most = "30",
        .doc =
            "binary: how many bytes stand between the start and the value; what they hold is not looked at"},
    Key{.name = "value",
        .kind = Kind::word,
        .words = kValues,
        .doc = "binary: the reading, of 1 to 4 bytes; be is high byte first, le low byte first"},
    Key{.name = "trail",
        .kind = Kind::integer,
        .otherwise = "0",
        .least = "0",
        .most = "30",
        .doc = "binary: how many bytes stand between the value and the sum"},
    Key{.name = "sum",
        .kind = Kind::word,
        .words = kSums,
        .doc = "binary: the check over all bytes before it. low-byte is the low byte of their sum, xor their "
               "exclusive or, crc-16 that of Modbus, low byte first"},
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
constexpr std::array<Name, 3> kBinaryNeeds{"start", "value", "sum"};
constexpr std::array<Name, 5> kBinaryOnly{"start", "lead", "value", "trail", "sum"};
constexpr std::array<Name, 1> kTextOnly{"pattern"};
constexpr std::array kWhen{When{.key = "kind", .word = "binary", .needs = kBinaryNeeds, .forbids = kTextOnly},
                           When{.key = "kind", .word = "text", .needs = kTextOnly, .forbids = kBinaryOnly}};

}  // namespace

constinit const Section kFrame{.name = "range frame",
                               .doc = "How a distance sensor writes a reading on its line.",
                               .keys = kKeys,
                               .when = kWhen};

}  // namespace stillwell::config
