// Which reads a gauge is fetched with.
#include "stillwell/config/registers.hpp"

#include <vector>

#include "support/catch.hpp"

using namespace stillwell::config;

namespace {

RegisterNumber at(int address, Encoding as = Encoding::u16, Table table = Table::input) {
  return {.table = table, .address = address, .as = as};
}

ModbusGauge number_at(int address) {
  ModbusGauge gauge;
  gauge.number = at(address);
  return gauge;
}

StatusRegister status_at(int address, Table table = Table::input) {
  return {.table = table, .address = address, .as = Encoding::u16, .good = {0}};
}

Span input(int address, int count) {
  return {.table = Table::input, .address = address, .count = count};
}

}  // namespace

TEST_CASE("reads: a companion that is near is read in the same transaction", "[config][reads]") {
  ModbusGauge gauge = number_at(4);
  gauge.air = at(5);
  REQUIRE(reads_of(gauge).size() == 1);
  CHECK(reads_of(gauge)[0].span == input(4, 2));
  CHECK(reads_of(gauge)[0].needed);
  gauge.air = at(2, Encoding::f32be);  // before it, with a gap
  REQUIRE(reads_of(gauge).size() == 1);
  CHECK(reads_of(gauge)[0].span == input(2, 3));
}

TEST_CASE("reads: sixteen registers are one read, seventeen are two, and so are two tables",
          "[config][reads]") {
  ModbusGauge gauge = number_at(4);
  gauge.air = at(4 + 15);
  CHECK(reads_of(gauge).size() == 1);
  gauge.air = at(4 + 15, Encoding::f32be);
  CHECK(reads_of(gauge).size() == 2);
  gauge.air = at(5, Encoding::u16, Table::holding);
  CHECK(reads_of(gauge).size() == 2);
}

TEST_CASE("reads: all of a gauge is fetched in as few reads as its addresses allow", "[config][reads]") {
  ModbusGauge gauge = number_at(100);
  gauge.air = at(90);
  gauge.humidity = at(130);
  gauge.water = at(140, Encoding::f32be);
  gauge.status = status_at(105);
  const auto reads = reads_of(gauge);
  REQUIRE(reads.size() == 2);
  CHECK(reads[0].span == input(90, 16));
  CHECK(reads[0].needed);
  CHECK(reads[1].span == input(130, 12));
  CHECK_FALSE(reads[1].needed);
}

TEST_CASE("reads: each by itself, what is needed first", "[config][reads]") {
  ModbusGauge gauge = number_at(4);
  gauge.air = at(2);
  gauge.status = status_at(5);
  const auto reads = reads_apart_of(gauge);
  REQUIRE(reads.size() == 3);
  CHECK(reads[0].span == input(4, 1));
  CHECK(reads[1].span == input(5, 1));
  CHECK(reads[2].span == input(2, 1));
  CHECK_FALSE(reads[2].needed);
}

TEST_CASE("reads: what the reading is nothing without comes first", "[config][reads]") {
  ModbusGauge gauge = number_at(500);
  gauge.air = at(0);
  gauge.status = status_at(0, Table::holding);
  const auto reads = reads_of(gauge);
  REQUIRE(reads.size() == 3);
  CHECK(reads[0].needed);
  CHECK(reads[1].needed);
  CHECK_FALSE(reads[2].needed);
  CHECK(reads[2].span == input(0, 1));
}
