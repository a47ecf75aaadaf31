// From registers to what a motor takes.

#include "stillwell/field/meter_reading.hpp"

#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Encoding;
using config::Table;

namespace {

constexpr Instant kAt{std::chrono::seconds{7}};

using Words = std::vector<std::uint16_t>;

MeterSample sample_of(const config::RegisterNumber& number, Words words) {
  const int count = static_cast<int>(words.size());
  const ReadWords read{{.table = number.table, .address = number.address, .count = count}, std::move(words)};
  return to_sample(config::MeterWiring{.number = number}, {&read, 1}, kAt);
}

config::RegisterNumber number(Encoding as, double unit) {
  return {.table = Table::input, .address = 12, .as = as, .unit = unit};
}

}  // namespace

TEST_CASE("meter reading: a count in its unit, with the instant of the reply", "[field][reading][meter]") {
  const MeterSample sample = sample_of(number(Encoding::u16, 0.1), {8204});
  CHECK(sample.value == Approx(820.4));
  CHECK(sample.fault == Reason::none);
  CHECK(sample.at == kAt);
  // IEEE 754: 820.5 is 444D 2000.
  CHECK(sample_of(number(Encoding::f32be, 1.0), {0x444D, 0x2000}).value == Approx(820.5));
}

TEST_CASE("meter reading: less than nothing is told as it is", "[field][reading][meter]") {
  CHECK(sample_of(number(Encoding::i16, 1.0), {0xFFFD}).value == Approx(-3.0));
}

TEST_CASE("meter reading: a count beyond its fault limits is no reading", "[field][reading][meter]") {
  config::RegisterNumber loop = number(Encoding::u16, 10.0 / (4095 - 819));
  loop.offset = -819 * loop.unit;
  loop.fault_below = 740;
  loop.fault_above = 4150;
  CHECK(sample_of(loop, {2457}).value == Approx(5.0));
  CHECK(sample_of(loop, {740}).value.has_value());
  for (const std::uint16_t count : Words{739, 4151, 0}) {
    const MeterSample sample = sample_of(loop, {count});
    CHECK_FALSE(sample.value.has_value());
    CHECK(sample.fault == Reason::no_answer);
    CHECK(sample.at == kAt);
  }
}

TEST_CASE("meter reading: no number, or more than any motor takes, is a bad frame",
          "[field][reading][meter]") {
  CHECK(sample_of(number(Encoding::f32be, 1.0), {0x7FC0, 0x0000}).fault ==
        Reason::bad_frame);                                                             // not a number
  CHECK(sample_of(number(Encoding::f32be, 1.0), {0x4B80}).fault == Reason::bad_frame);  // half of one
  CHECK(sample_of(number(Encoding::u32be, 1.0), {0xFFFF, 0xFFFF}).fault == Reason::bad_frame);
  CHECK_FALSE(sample_of(number(Encoding::u32be, 1.0), {0xFFFF, 0xFFFF}).value.has_value());
}
