// Numbers in registers. The bit patterns of single-precision numbers are those of IEEE 754 (1.0 is 3F800000,
// -2.5 is C0200000); the register values 555 and 10 are those of the Modbus Application Protocol V1.1b3, 6.3
// and 6.4.

#include "stillwell/field/registers.hpp"

#include <string>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Encoding;

namespace {

struct Row {
  std::string legend;
  Encoding as;
  std::vector<std::uint16_t> words;
  std::optional<double> number;
};

const std::vector<Row> kRows{
    {"u16", Encoding::u16, {0x022B}, 555.0},
    {"u16, largest", Encoding::u16, {0xFFFF}, 65535.0},
    {"i16", Encoding::i16, {0x000A}, 10.0},
    {"i16, negative", Encoding::i16, {0xFFFE}, -2.0},
    {"i16, lowest", Encoding::i16, {0x8000}, -32768.0},
    {"u32be", Encoding::u32be, {0x0001, 0x0002}, 65538.0},
    {"u32le", Encoding::u32le, {0x0002, 0x0001}, 65538.0},
    {"u32be, largest", Encoding::u32be, {0xFFFF, 0xFFFF}, 4294967295.0},
    {"i32be", Encoding::i32be, {0xFFFF, 0xFFFE}, -2.0},
    {"i32le", Encoding::i32le, {0xFFFE, 0xFFFF}, -2.0},
    {"f32be", Encoding::f32be, {0x3F80, 0x0000}, 1.0},
    {"f32be, negative", Encoding::f32be, {0xC020, 0x0000}, -2.5},
    {"f32le", Encoding::f32le, {0x0000, 0x3F80}, 1.0},
    {"f32bs", Encoding::f32bs, {0x803F, 0x0000}, 1.0},
    {"f32ls", Encoding::f32ls, {0x0000, 0x20C0}, -2.5},
    {"f32be, not a number", Encoding::f32be, {0x7FC0, 0x0000}, std::nullopt},
    {"f32be, infinite", Encoding::f32be, {0x7F80, 0x0000}, std::nullopt},
    {"u16 of nothing", Encoding::u16, {}, std::nullopt},
    {"u32be of one word", Encoding::u32be, {0x0001}, std::nullopt},
    {"u16 does not look further", Encoding::u16, {0x000A, 0xFFFF}, 10.0},
};

}  // namespace

TEST_CASE("registers: each encoding reads its words in its own order", "[field][table]") {
  for (const Row& row : kRows) {
    INFO(row.legend);
    CHECK(decode(row.as, row.words) == row.number);
  }
}
