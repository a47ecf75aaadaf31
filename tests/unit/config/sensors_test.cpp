// Sensors of every usual kind: what their keys become in the wiring.
#include "stillwell/config/configuration.hpp"

#include <cmath>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/config_whole.hpp"
#include "support/places.hpp"

using namespace stillwell;
using namespace stillwell::config;
using support::whole;

namespace {

constexpr std::string_view kDistance = "distance: { table: input, address: 0, as: u16, unit: mm }";
constexpr std::string_view kDepth = "depth: { table: holding, address: 2, as: f32be, unit: m }";
constexpr std::string_view kFrame =
    "frame: { kind: binary, start: 0xFF, value: u16be, sum: low-byte, unit: mm }";
constexpr std::string_view kShed = "shed: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus }";

const ModbusGauge& gauge_of(const Configuration& site, std::size_t gauge) {
  return std::get<ModbusGauge>(site.wiring.gauges.at(gauge).source);
}

/// What a count of a number stands for.
double worth(const RegisterNumber& number, double count) {
  return count * number.unit + number.offset;
}

field::FrameFormat frame(const std::string& written) {
  const Configuration site = whole(support::base_with(kFrame, "frame: { " + written + " }"));
  return std::get<field::FrameFormat>(site.wiring.gauges.at(1).source);
}

}  // namespace

TEST_CASE("sensors: two points of a scale become a straight line, and an offset moves it",
          "[config][sensors]") {
  const auto number = [](const std::string& more) {
    const std::string depth =
        "depth: { table: input, address: 7, as: u16, scale: [[819, 0 m], [4095, 500 cm]]";
    return gauge_of(whole(support::base_with(kDepth, depth + more + " }")), 2).number;
  };
  CHECK(worth(number(""), 819) == Approx(0.0).margin(1e-12));
  CHECK(worth(number(""), 4095) == Approx(5.0));
  CHECK(worth(number(""), 2457) == Approx(2.5));
  CHECK(worth(number(", offset: -3 cm"), 4095) == Approx(4.97));
  CHECK_FALSE(number("").fault_below);
  CHECK(number(", fault_below: 740").fault_below == 740.0);
  CHECK(number(", fault_above: 4150.5").fault_above == 4150.5);
  CHECK(number(", fault_below: 819, fault_above: 4095").fault_above ==
        4095.0);  // the points themselves are good
}

TEST_CASE("sensors: a scale may fall, and a unit may have fault limits and an offset", "[config][sensors]") {
  const Configuration falling = whole(support::base_with(
      kDistance, "distance: { table: input, address: 0, as: i16, scale: [[1000, 5 m], [0, 0.5 m]] }"));
  CHECK(worth(gauge_of(falling, 0).number, 500) == Approx(2.75));
  const Configuration plain = whole(support::base_with(
      kDistance,
      "distance: { table: input, address: 0, as: u16, unit: mm, offset: 2 cm, fault_above: 60000 }"));
  CHECK(worth(gauge_of(plain, 0).number, 1000) == Approx(1.02));
  CHECK(gauge_of(plain, 0).number.fault_above == 60000.0);
}

TEST_CASE("sensors: a pressure is a depth of conventional water", "[config][sensors][reference]") {
  const support::Csv csv{"07_water_density.csv"};
  double pascals = 0.0;  // of one metre
  for (std::size_t row = 0; row < csv.size(); ++row)
    if (csv.at(row, "item").starts_with("conventional metre of water"))
      pascals = std::stod(csv.at(row, "value"));
  REQUIRE(pascals == 9806.65);
  const auto site = [](const std::string& written) {
    return whole(
        support::base_with(kDepth, "pressure: { table: holding, address: 2, as: i16, " + written + " }"));
  };
  CHECK(worth(gauge_of(site("unit: kPa"), 2).number, 1) == Approx(0.1019716).margin(5e-8));
  CHECK(worth(gauge_of(site("unit: kPa"), 2).number, 100) == Approx(100000.0 / pascals).epsilon(1e-12));
  CHECK(worth(gauge_of(site("unit: 0.1 mbar"), 2).number, 1000) == Approx(10000.0 / pascals).epsilon(1e-12));
  const auto scaled = site("scale: [[819, 0 kPa], [4095, 50 kPa]], offset: -0.5 kPa");
  CHECK(worth(gauge_of(scaled, 2).number, 4095) == Approx(49500.0 / pascals).epsilon(1e-12));
  CHECK(scaled.model.gauges.at(2).rules.measures == Measures::depth);
  CHECK(scaled.model.tanks.at(2).full().value() == Approx(1.2));
}

TEST_CASE("sensors: companions and a status are read as they are described", "[config][sensors]") {
  const Configuration site = whole(support::base_with(
      "    every: 1 s\n",
      "    every: 1 s\n    humidity: { table: input, address: 2, as: u16, unit: 0.1 % }\n"
      "    air: { table: input, address: 1, as: u16, scale: [[0, -40 degC], [1000, 60 degC]] }\n"
      "    status: { table: holding, address: 3, good: [0, 0x10], mask: 0x00FF }\n"));
  const ModbusGauge& gauge = gauge_of(site, 0);
  CHECK(worth(gauge.humidity.value(), 605) == Approx(60.5));
  CHECK(worth(gauge.air.value(), 550) == Approx(15.0));
  CHECK(gauge.status.value().table == Table::holding);
  CHECK(gauge.status->address == 3);
  CHECK(gauge.status->as == Encoding::u16);
  CHECK(gauge.status->mask == 0x00FF);
  CHECK(gauge.status->good == std::vector<std::uint32_t>{0, 16});

  const Configuration depth = whole(support::base_with(
      "    station: 4\n",
      "    station: 4\n    water: { table: holding, address: 4, as: i16, unit: 0.1 degC }\n"
      "    status: { table: holding, address: 5, as: u32le, good: [1] }\n"));
  CHECK(worth(gauge_of(depth, 2).water.value(), 145) == Approx(14.5));
  CHECK(gauge_of(depth, 2).status->mask == 0xFFFFFFFF);
}

TEST_CASE("sensors: one status register may speak for two gauges", "[config][sensors]") {
  const std::string status = "    status: { table: input, address: 9, good: [0] }\n";
  const Configuration site =
      whole(support::base_with("  sump-depth:\n    line: shed\n    station: 4\n",
                               "  other:\n    line: shed\n    station: 4\n    distance: { table: input, "
                               "address: 0, as: u16, unit: mm }\n" +
                                   status + "  sump-depth:\n    line: shed\n    station: 4\n" + status));
  CHECK(gauge_of(site, 2).status.has_value());
  CHECK(gauge_of(site, 3).status.has_value());
}

TEST_CASE("sensors: a frame is what its keys say", "[config][sensors]") {
  using field::FrameSum;
  using field::FrameValue;
  const auto plain = frame("kind: binary, start: 0x01, value: u8, sum: none, unit: cm");
  CHECK(plain.lead == 0);
  CHECK(plain.trail == 0);
  CHECK(plain.value == FrameValue::u8);
  CHECK(plain.sum == FrameSum::none);
  const auto full =
      frame("kind: binary, start: 0xAA, lead: 2, value: u24le, trail: 3, sum: crc-16, unit: 0.1 mm, ask: 1");
  CHECK(full.start == 0xAA);
  CHECK(full.lead == 2);
  CHECK(full.value == FrameValue::u24le);
  CHECK(full.trail == 3);
  CHECK(full.sum == FrameSum::crc_16);
  CHECK(full.ask == 1);
  CHECK(frame("kind: binary, start: 0, value: u32be, sum: xor, unit: mm").sum == FrameSum::exclusive_or);
  for (const auto& [word, value] : {std::pair{"u16be", FrameValue::u16be},
                                    {"u16le", FrameValue::u16le},
                                    {"u24be", FrameValue::u24be},
                                    {"u32be", FrameValue::u32be},
                                    {"u32le", FrameValue::u32le}}) {
    CHECK(frame("kind: binary, start: 0, value: " + std::string(word) + ", sum: xor, unit: mm").value ==
          value);
  }
}

TEST_CASE("sensors: a line may be a gateway, whose port is 502 when none is given", "[config][sensors]") {
  const auto line = [](const std::string& tcp) {
    return whole(support::base_with(kShed, "shed: { tcp: " + tcp + ", carries: modbus }")).wiring.lines.at(0);
  };
  CHECK(line("gateway.lan").tcp.value().host == "gateway.lan");
  CHECK(line("gateway.lan").tcp->port == 502);
  CHECK(line("192.0.2.7:1502").tcp->port == 1502);
  CHECK(line("'[2001:db8::7]:1502'").tcp->host == "2001:db8::7");
  CHECK(line("gateway").port.empty());
  CHECK(line("gateway").quiet == Duration{0});
}

TEST_CASE("sensors: the example shows one of each", "[config][sensors][examples]") {
  const Loaded loaded = load(support::source_dir() + "/config/sensors.yaml");
  REQUIRE(loaded.configuration);
  const Configuration& site = *loaded.configuration;
  CHECK(site.wiring.lines.at(3).tcp.has_value());
  CHECK(gauge_of(site, 0).number.fault_below == 740.0);
  CHECK(worth(gauge_of(site, 0).number, 4095) == Approx(4.97));
  CHECK(worth(gauge_of(site, 1).number, 1000) == Approx(10.19716).epsilon(1e-6));
  CHECK(gauge_of(site, 1).water.has_value());
  CHECK(gauge_of(site, 2).status.has_value());
  CHECK(std::get<field::FrameFormat>(site.wiring.gauges.at(3).source).kind == field::FrameKind::text);
  CHECK(std::get<field::FrameFormat>(site.wiring.gauges.at(4).source).sum == field::FrameSum::exclusive_or);
}
