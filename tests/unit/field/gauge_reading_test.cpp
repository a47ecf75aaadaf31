// From registers to a reading: units, scales, fault limits, status words, companions.

#include "stillwell/field/gauge_reading.hpp"

#include <string>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Encoding;
using config::ModbusGauge;
using config::RegisterNumber;
using config::Table;

namespace {

constexpr Instant kAt{std::chrono::seconds{7}};

using Words = std::vector<std::uint16_t>;

ReadWords read(int address, Words words, Table table = Table::input) {
  const int count = static_cast<int>(words.size());
  return {{.table = table, .address = address, .count = count}, std::move(words)};
}

GaugeSample sample_of(const ModbusGauge& gauge, const std::vector<ReadWords>& reads) {
  return to_sample(gauge, reads, kAt);
}

ModbusGauge millimetres() {
  ModbusGauge gauge;
  gauge.number = {.table = Table::input, .address = 4, .as = Encoding::u16, .unit = 0.001};
  return gauge;
}

/// 4 mA and 20 mA of a transmitter for 0 to 5 m, as a 12-bit module counts them.
ModbusGauge loop() {
  ModbusGauge gauge = millimetres();
  gauge.number.unit = 5.0 / (4095 - 819);
  gauge.number.offset = -819 * gauge.number.unit;
  gauge.number.fault_below = 740;
  gauge.number.fault_above = 4150;
  return gauge;
}

ModbusGauge with_status(std::uint32_t mask) {
  ModbusGauge gauge = millimetres();
  gauge.status = {.table = Table::input, .address = 5, .as = Encoding::u16, .mask = mask, .good = {0, 2}};
  return gauge;
}

}  // namespace

TEST_CASE("gauge reading: number and companions are found wherever they were read", "[field][reading]") {
  ModbusGauge gauge = millimetres();
  gauge.air = {.table = Table::input, .address = 2, .as = Encoding::i16, .unit = 0.1};
  gauge.humidity = {.table = Table::holding, .address = 9, .as = Encoding::u16, .unit = 0.5};
  gauge.water = {.table = Table::input, .address = 6, .as = Encoding::i16, .unit = 0.1};
  const auto sample =
      sample_of(gauge, {read(2, {0xFFCE, 0, 1953, 0, 145}), read(9, {120, 7}, Table::holding)});
  CHECK(sample.at == kAt);
  CHECK(sample.fault == Reason::none);
  CHECK(sample.value.value().value() == Approx(1.953));
  CHECK(sample.air.value().value() == Approx(-5.0));
  CHECK(sample.humidity.value().value() == Approx(60.0));
  CHECK(sample.water.value().value() == Approx(14.5));
}

TEST_CASE("gauge reading: a companion that was not answered, or is no number, costs the reading nothing",
          "[field][reading]") {
  ModbusGauge gauge = millimetres();
  gauge.air = {.table = Table::holding, .address = 5, .as = Encoding::i16, .unit = 0.1};
  gauge.water = {.table = Table::input, .address = 5, .as = Encoding::f32be};
  gauge.humidity = {.table = Table::input, .address = 7, .as = Encoding::u16, .unit = 1.0};
  gauge.humidity->fault_above = 100;
  const auto sample = sample_of(gauge, {read(4, {1953, 0x7FC0, 0x0000, 0xFFFF})});
  CHECK(sample.value.value().value() == Approx(1.953));
  CHECK_FALSE(sample.air.has_value());
  CHECK_FALSE(sample.water.has_value());
  CHECK_FALSE(sample.humidity.has_value());
}

TEST_CASE("gauge reading: a scale is exact at its points, straight between and beyond them",
          "[field][scale]") {
  struct Row {
    std::uint16_t count;
    double metres;
  };
  // 4 mA, 12 mA, 20 mA; and 3.8 mA and 20.2 mA, which good transmitters still give.
  for (const Row& row :
       {Row{819, 0.0}, Row{2457, 2.5}, Row{4095, 5.0}, Row{778, -0.0625763}, Row{4136, 5.0625763}}) {
    INFO(row.count);
    const auto sample = sample_of(loop(), {read(4, {row.count})});
    REQUIRE(sample.value.has_value());
    CHECK(sample.value->value() == Approx(row.metres).margin(1e-7));
  }
}

TEST_CASE("gauge reading: a loop that is broken or shorted is no answer, and never a level",
          "[field][scale]") {
  for (const std::uint16_t count : Words{0, 1, 739, 4151, 65535}) {
    INFO(count);
    const auto sample = sample_of(loop(), {read(4, {count})});
    CHECK_FALSE(sample.value.has_value());
    CHECK(sample.fault == Reason::no_answer);
  }
  for (const std::uint16_t count : Words{740, 4150}) {
    INFO(count);
    CHECK(sample_of(loop(), {read(4, {count})}).value.has_value());
  }
}

TEST_CASE("gauge reading: fault limits are meant in counts, whatever a count is worth", "[field][scale]") {
  ModbusGauge gauge = millimetres();
  gauge.number.as = Encoding::i16;
  gauge.number.fault_below = 0;
  CHECK(sample_of(gauge, {read(4, {0xFFFF})}).fault == Reason::no_answer);  // -1
  CHECK(sample_of(gauge, {read(4, {0})}).value.value().value() == 0.0);
}

TEST_CASE("gauge reading: a status that is not good is no answer, whatever the number says",
          "[field][status]") {
  struct Row {
    std::uint32_t mask;
    std::uint16_t status;
    bool is_good;
  };
  for (const Row& row : {Row{0xFFFF, 0, true}, Row{0xFFFF, 2, true}, Row{0xFFFF, 1, false},
                         Row{0xFFFF, 3, false}, Row{0xFFFF, 0x8000, false}, Row{0x0003, 0x8000, true},
                         Row{0x0003, 0x8002, true}, Row{0x0003, 0x8001, false}}) {
    INFO("mask " << row.mask << ", status " << row.status);
    const auto sample = sample_of(with_status(row.mask), {read(4, {1953, row.status})});
    CHECK(sample.value.has_value() == row.is_good);
    CHECK(sample.fault == (row.is_good ? Reason::none : Reason::no_answer));
  }
  CHECK_FALSE(sample_of(with_status(0xFFFF), {read(4, {1953})}).value.has_value());  // it was not read
}

TEST_CASE("gauge reading: what is no number, or none that a tank can have, is a bad frame",
          "[field][reading]") {
  ModbusGauge gauge;
  gauge.number = {.table = Table::holding, .address = 2, .as = Encoding::f32be, .unit = 1.0};
  const auto fault = [&](Words words) {
    return sample_of(gauge, {read(2, std::move(words), Table::holding)}).fault;
  };
  CHECK(fault({0x7FC0, 0x0000}) == Reason::bad_frame);  // not a number
  CHECK(fault({0x7F80, 0x0000}) == Reason::bad_frame);  // infinite
  CHECK(fault({0xFF80, 0x0000}) == Reason::bad_frame);
  CHECK(fault({0x7F7F, 0xFFFF}) == Reason::bad_frame);  // the largest there is, 3.4e38
  CHECK(fault({0xC47A, 0x0000}) == Reason::bad_frame);  // -1000
  CHECK(fault({0x4120, 0x0000}) == Reason::none);       // 10
  CHECK(fault({0x4120}) == Reason::bad_frame);          // half of it
  gauge.number.unit = 1e308;
  CHECK(fault({0x7F7F, 0xFFFF}) == Reason::bad_frame);
}
