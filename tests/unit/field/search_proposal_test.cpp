// What a search proposes to paste, read again by the reader of configurations.

#include "stillwell/field/search_proposal.hpp"

#include "stillwell/config/configuration.hpp"

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Table;

namespace {

const ProposedLine kNewLine{
    .id = "found", .port = "/dev/serial/by-id/usb-o'brien", .speed = {}, .is_new = true};

/// The proposal as the only line and gauge of a site.
config::Configuration read_back(const std::string& yaml) {
  const auto loaded =
      config::parse("site: { id: orchard }\n" + yaml +
                        "tanks:\n  header: { gauge: new-gauge, to_floor: 3 m, to_full: 40 cm, holds: { "
                        "capacity: 1000 L } }\n",
                    "proposal.yaml");
  for (const auto& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  INFO(yaml);
  REQUIRE(loaded.configuration);
  return *loaded.configuration;
}

SpeedSeen at_speed(int baud) {
  SpeedSeen seen;
  seen.speed = {baud, 8, config::Parity::even, 1};
  return seen;
}

}  // namespace

TEST_CASE("proposal: the register that moves a little is taken for the distance", "[field][search]") {
  const std::vector<RegisterSeen> registers{
      {Table::input, 0, {7, 7, 7}},         {Table::input, 1, {0, 0, 0}},
      {Table::input, 2, {215, 215, 215}},   {Table::input, 3, {1953, 1954, 1953}},
      {Table::holding, 0, {300, 9000, 40}}, {Table::holding, 1, {65535, 65535, 65535}}};
  REQUIRE(likeliest_number(registers));
  CHECK(likeliest_number(registers)->address == 3);
  CHECK(likeliest_number(registers)->as == config::Encoding::u16);
  CHECK(spread_of(registers[3]) == 1);
  CHECK(likeliest_number({registers.begin(), registers.begin() + 3})->address == 2);
  CHECK_FALSE(likeliest_number({registers.begin(), registers.begin() + 2}));
  CHECK_FALSE(likeliest_number({}));
}

TEST_CASE("proposal: two registers that are a floating-point number of metres are taken as one",
          "[field][search]") {
  // 1.77 m and 1.78 m are 3FE28F5C and 3FE3D70A (IEEE 754 binary32).
  const RegisterSeen high{Table::holding, 2, {0x3FE2, 0x3FE3}};
  const RegisterSeen low{Table::holding, 3, {0x8F5C, 0xD70A}};
  const auto big = likeliest_number({high, low});
  REQUIRE(big);
  CHECK(big->as == config::Encoding::f32be);
  CHECK(big->address == 2);
  const auto little = likeliest_number(
      {{Table::input, 0, low.values}, {Table::input, 1, high.values}, {Table::input, 2, {7, 7}}});
  REQUIRE(little);
  CHECK(little->as == config::Encoding::f32le);
  CHECK(little->address == 0);
  CHECK_FALSE(likeliest_number({high}));                                   // no half of one
  CHECK_FALSE(likeliest_number({high, {Table::input, 3, low.values}}));    // nor two of two tables
  CHECK_FALSE(likeliest_number({high, {Table::holding, 4, low.values}}));  // nor apart
  SearchResult result;
  result.speeds = {at_speed(9600)};
  result.speeds[0].stations = {{.station = 4, .registers = {high, low}}};
  const auto wiring = read_back(proposal_of(result, kNewLine)).wiring;
  CHECK(std::get<config::ModbusGauge>(wiring.gauges[0].source).number.as == config::Encoding::f32be);
}

TEST_CASE("proposal: a station's entry is a configuration", "[field][search]") {
  SearchResult result;
  result.speeds = {at_speed(9600), at_speed(19200)};
  result.speeds[1].stations = {{.station = 7, .registers = {{Table::holding, 4, {1953, 1950}}}}};
  const auto wiring = read_back(proposal_of(result, kNewLine)).wiring;
  CHECK(wiring.lines[0].port == kNewLine.port);
  CHECK(wiring.lines[0].speed == 19200);
  CHECK(wiring.lines[0].parity == config::Parity::even);
  const auto& gauge = std::get<config::ModbusGauge>(wiring.gauges[0].source);
  CHECK(gauge.station == 7);
  CHECK(gauge.number.table == Table::holding);
  CHECK(gauge.number.address == 4);
  CHECK(gauge.number.unit == 0.001);
}

TEST_CASE("proposal: a station without a plausible register gets no entry", "[field][search]") {
  SearchResult result;
  result.speeds = {at_speed(9600)};
  result.speeds[0].stations = {{.station = 7, .exception = 2, .registers = {{Table::input, 0, {0, 0}}}}};
  CHECK(proposal_of(result, kNewLine).empty());
}

TEST_CASE("proposal: frames of every form are a configuration that reads them", "[field][search]") {
  FrameFormat binary;
  binary.start = 0x5A;
  binary.unit = Metres{0.001};
  FrameFormat text = binary;
  text.kind = FrameKind::text;
  text.pattern = R"(gap 'a': (\d{4}) \(mm\))";
  FrameFormat wide = binary;
  wide.lead = 2;
  wide.trail = 3;
  wide.value = FrameValue::u24le;
  wide.sum = FrameSum::crc_16;
  for (const FrameFormat& format : {binary, text, wide}) {
    SearchResult result;
    result.speeds = {at_speed(9600)};
    result.speeds[0].heard.format = format;
    const auto read = std::get<FrameFormat>(read_back(proposal_of(result, kNewLine)).wiring.gauges[0].source);
    CHECK(read.kind == format.kind);
    CHECK(read.pattern == format.pattern);
    if (format.kind == FrameKind::text) continue;
    CHECK(read.start == format.start);
    CHECK(read.lead == format.lead);
    CHECK(read.trail == format.trail);
    CHECK(read.value == format.value);
    CHECK(read.sum == format.sum);
  }
}

TEST_CASE("proposal: a line that the configuration has is not proposed again", "[field][search]") {
  FrameFormat format;
  ProposedLine line = kNewLine;
  line.is_new = false;
  CHECK(proposal_for(line, format).find("lines:") == std::string::npos);
  CHECK(proposal_for(line, format).find("line: found") != std::string::npos);
}
