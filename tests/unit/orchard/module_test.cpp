#include "stillwell/orchard/words.hpp"

#include <chrono>

#include "bench.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::orchard;
using namespace stillwell::literals;
using namespace std::chrono_literals;
using namespace support;
using bench::ask;
using config::Encoding;
using plant::FaultKind;
using plant::Part;

namespace {

struct Site {
  explicit Site(const config::Wiring& wiring = bench::wiring()) : modules{modules_on(LineIndex{0}, wiring)} {}

  plant::Plant plant = bench_plant();
  plant::Chance chance{1};
  std::map<int, Module> modules;

  std::optional<Reply> reply(int station, std::uint8_t function, int address, int value) {
    return respond(ask(station, function, address, value), modules.at(station), plant, chance);
  }
  /// The PDU of an intact reply.
  Bytes pdu(int station, std::uint8_t function, int address, int value) {
    const auto got = reply(station, function, address, value);
    REQUIRE(got);
    REQUIRE(is_intact(got->frame));
    REQUIRE(got->frame[0] == station);
    return {got->frame.begin() + 1, got->frame.end() - 2};
  }
  void fault(plant::Target target, FaultKind kind, plant::Amount amount = {}) {
    REQUIRE(plant.order({target, kind, amount, plant.now(), {}}));
  }
};

const plant::Target kTheHeaderGauge{Part::gauge, 0};
const plant::Target kTheLift{Part::contact, 0};

}  // namespace

TEST_CASE("words: every encoding lays a number as its name says", "[orchard][words]") {
  // IEEE 754: 1.0 is 3F80 0000, -2.5 is C020 0000.
  CHECK(words_of(Encoding::u16, 1742.4) == std::vector<std::uint16_t>{1742});
  CHECK(words_of(Encoding::i16, -1.0) == std::vector<std::uint16_t>{0xFFFF});
  CHECK(words_of(Encoding::u32be, 0x12345678) == std::vector<std::uint16_t>{0x1234, 0x5678});
  CHECK(words_of(Encoding::u32le, 0x12345678) == std::vector<std::uint16_t>{0x5678, 0x1234});
  CHECK(words_of(Encoding::i32be, -2.0) == std::vector<std::uint16_t>{0xFFFF, 0xFFFE});
  CHECK(words_of(Encoding::i32le, -2.0) == std::vector<std::uint16_t>{0xFFFE, 0xFFFF});
  CHECK(words_of(Encoding::f32be, -2.5) == std::vector<std::uint16_t>{0xC020, 0x0000});
  CHECK(words_of(Encoding::f32le, 1.0) == std::vector<std::uint16_t>{0x0000, 0x3F80});
  CHECK(words_of(Encoding::f32bs, 1.0) == std::vector<std::uint16_t>{0x803F, 0x0000});
  CHECK(words_of(Encoding::f32ls, 1.0) == std::vector<std::uint16_t>{0x0000, 0x803F});
}

TEST_CASE("words: what does not fit is held at the end of the range", "[orchard][words]") {
  CHECK(words_of(Encoding::u16, 70'000) == std::vector<std::uint16_t>{0xFFFF});
  CHECK(words_of(Encoding::u16, -3) == std::vector<std::uint16_t>{0});
  CHECK(words_of(Encoding::i16, -40'000) == std::vector<std::uint16_t>{0x8000});
  CHECK(words_of(Encoding::u16, std::nan("")) == std::vector<std::uint16_t>{0});
}

TEST_CASE("module: shows the gauge, its air and zeros beyond, up to a bound", "[orchard][module]") {
  Site site;  // header at 50 cm: 1000 mm below the face, air 15.0
  CHECK(site.pdu(1, 4, 0, 1) == Bytes{4, 2, 0x03, 0xE8});
  CHECK(site.pdu(1, 4, 0, 3) == Bytes{4, 6, 0x03, 0xE8, 0x00, 150, 0, 0});
  CHECK(site.pdu(1, 4, 2, 16).size() == 2 + 32);
  CHECK(site.pdu(1, 4, 2, 17) == Bytes{0x84, 2});
  CHECK(site.pdu(1, 3, 0, 1) == Bytes{0x83, 2});  // it has no holding registers
}

TEST_CASE("module: a float's two registers come from one reading, also when read apart",
          "[orchard][module]") {
  Site site;  // bore at 50 cm, sensor 20 cm up: 0.3 m is 3E99 999A
  CHECK(site.pdu(4, 3, 2, 2) == Bytes{3, 4, 0x3E, 0x99, 0x99, 0x9A});
  CHECK(site.pdu(4, 3, 3, 1) == Bytes{3, 2, 0x99, 0x9A});
  CHECK(site.pdu(4, 3, 0, 3) == Bytes{3, 6, 0, 0, 0, 0, 0x3E, 0x99});
}

TEST_CASE("module: a transmitter behind an analogue module shows its count on the scale",
          "[orchard][module]") {
  config::Wiring wiring = bench::wiring();
  auto& bore = std::get<config::ModbusGauge>(wiring.gauges[2].source);
  bore.number = {config::Table::input, 7, Encoding::u16, 5.0 / 3276,
                 -819 * 5.0 / 3276};  // 819 to 4095: 0 to 5 m
  Site site{wiring};
  CHECK(site.pdu(4, 4, 7, 1) == Bytes{4, 2, 0x03, 0xF8});  // 819 + 0.3 / 5 * 3276 = 1015.6
}

TEST_CASE("module: humidity, water and a good status stand in their registers", "[orchard][module]") {
  config::Wiring wiring = bench::wiring();
  auto& header = std::get<config::ModbusGauge>(wiring.gauges[0].source);
  header.humidity = config::RegisterNumber{config::Table::input, 2, Encoding::u16, 0.1};
  header.status = config::StatusRegister{config::Table::input, 3, Encoding::u16, 0x00FF, {2, 4}};
  auto& bore = std::get<config::ModbusGauge>(wiring.gauges[2].source);
  bore.water = config::RegisterNumber{config::Table::holding, 4, Encoding::i16, 0.1};
  Site site{wiring};
  CHECK(site.pdu(1, 4, 2, 2) == Bytes{4, 4, 0x02, 0x58, 0, 2});
  CHECK(site.pdu(4, 3, 4, 1) == Bytes{3, 2, 0, 150});
}

TEST_CASE("module: switches are bits, and a longer read of them has more bytes", "[orchard][module]") {
  Site site;
  CHECK(site.pdu(10, 2, 0, 1) == Bytes{2, 1, 1});  // normally closed float, header not high
  CHECK(site.pdu(10, 2, 0, 9) == Bytes{2, 2, 1, 0});
  site.plant.write(kLiftContact, true);
  CHECK(site.pdu(10, 2, 0, 2) == Bytes{2, 1, 3});
}

TEST_CASE("module: a coil and a register drive their contacts and read back", "[orchard][module]") {
  Site site;
  CHECK(site.pdu(10, 5, 0, 0xFF00) == Bytes{5, 0, 0, 0xFF, 0});
  CHECK(site.plant.turning(kLift));
  CHECK(site.pdu(10, 1, 0, 1) == Bytes{1, 1, 1});
  CHECK(site.pdu(10, 6, 3, 1) == Bytes{6, 0, 3, 0, 1});
  CHECK(site.plant.turning(kBore));
  CHECK(site.pdu(10, 3, 3, 1) == Bytes{3, 2, 0, 1});
  CHECK(site.pdu(10, 6, 3, 9) == Bytes{0x86, 2});  // neither on nor off
  CHECK(site.pdu(10, 5, 7, 0xFF00) == Bytes{0x85, 2});
}

TEST_CASE("module: a relay with a drop-out timer holds only while it is refreshed", "[orchard][module]") {
  Site site;
  site.plant.hold(kDrainContact, 0s);
  site.pdu(10, 5, 1, 0xFF00);
  CHECK(site.pdu(10, 1, 1, 1) == Bytes{1, 1, 0});
  site.pdu(10, 6, 40, 5);
  site.pdu(10, 5, 1, 0xFF00);
  CHECK(site.pdu(10, 1, 1, 1) == Bytes{1, 1, 1});
  site.plant.advance(3s);
  CHECK(site.pdu(10, 3, 40, 1) == Bytes{3, 2, 0, 2});
  site.plant.advance(2s);
  CHECK(site.pdu(10, 1, 1, 1) == Bytes{1, 1, 0});
}

TEST_CASE("module: silence of one part is silence of its whole station, and of no other",
          "[orchard][fault]") {
  Site site;
  site.fault(kTheLift, FaultKind::silence);
  CHECK_FALSE(site.reply(10, 2, 0, 1));
  CHECK_FALSE(site.reply(10, 5, 0, 0xFF00));
  CHECK_FALSE(site.plant.coil(kLiftContact));  // a request that is not heard moves nothing
  CHECK(site.reply(1, 4, 0, 1));
  site.fault({Part::line, 0}, FaultKind::silence);
  CHECK_FALSE(site.reply(1, 4, 0, 1));
}

TEST_CASE("module: a bad sum spoils nothing but the sum, garbage is no frame", "[orchard][fault]") {
  Site site;
  const Bytes good = site.reply(1, 4, 0, 1)->frame;
  site.fault(kTheHeaderGauge, FaultKind::bad_sum);
  const Bytes bad = site.reply(1, 4, 0, 1)->frame;
  CHECK_FALSE(is_intact(bad));
  CHECK(Bytes(bad.begin(), bad.end() - 2) == Bytes(good.begin(), good.end() - 2));
  site.fault(kTheHeaderGauge, FaultKind::garbage);
  CHECK_FALSE(is_intact(site.reply(1, 4, 0, 1)->frame));
}

TEST_CASE("module: late, broken and strict modules", "[orchard][fault]") {
  Site site;
  CHECK(site.reply(1, 4, 0, 1)->late == 0s);
  site.fault(kTheHeaderGauge, FaultKind::late, Duration{700ms});
  CHECK(site.reply(1, 4, 0, 1)->late == 700ms);
  site.fault(kTheHeaderGauge, FaultKind::refuses_long);
  CHECK(site.pdu(1, 4, 0, 2) == Bytes{4, 4, 0x03, 0xE8, 0, 150});
  CHECK(site.pdu(1, 4, 0, 3) == Bytes{0x84, 2});
  site.fault(kTheHeaderGauge, FaultKind::exception);
  CHECK(site.pdu(1, 4, 0, 1) == Bytes{0x84, 4});
}

TEST_CASE("module: a lying echo looks like success, an ignored write like silence; reads tell",
          "[orchard][fault]") {
  Site site;
  site.fault(kTheLift, FaultKind::lying_echo);
  CHECK(site.pdu(10, 5, 0, 0xFF00) == Bytes{5, 0, 0, 0xFF, 0});
  CHECK(site.pdu(10, 1, 0, 1) == Bytes{1, 1, 0});
  site.plant.clear(kTheLift);
  site.fault(kTheLift, FaultKind::ignores_writes);
  CHECK_FALSE(site.reply(10, 5, 0, 0xFF00));
  CHECK(site.pdu(10, 1, 0, 1) == Bytes{1, 1, 0});
  CHECK(site.pdu(10, 6, 3, 1) == Bytes{6, 0, 3, 0, 1});  // the other contact of the module obeys
}

TEST_CASE("module: a meter shows the motor's load as its wiring counts it", "[orchard][module][meter]") {
  Model model = bench_model();
  model.meters = {{"lift-power", {}}};
  auto scenario = bench_scenario();
  scenario.supplies = {{MeterIndex{0}, kLift, MotorLoad{900.0}, MotorLoad{250.0}}};
  config::Wiring wiring = bench::wiring();
  wiring.meters = {
      {.line = {0}, .every = 1s, .station = 20, .number = {config::Table::input, 12, Encoding::u16, 0.1}}};
  Site site{wiring};
  site.plant = plant::Plant{model, scenario};
  CHECK(site.pdu(20, 4, 12, 1) == Bytes{4, 2, 0, 0});
  site.plant.write(kLiftContact, true);
  site.plant.advance(100ms);
  CHECK(site.pdu(20, 4, 12, 2) == Bytes{4, 4, 0x23, 0x28, 0, 0});  // 9000 tenths
  const plant::Target meter{Part::meter, 0};
  site.fault(meter, FaultKind::misreads, Percent{10.0});
  site.plant.advance(100ms);
  CHECK(site.pdu(20, 4, 12, 1) == Bytes{4, 2, 0x03, 0x84});
  site.fault(meter, FaultKind::silence);
  CHECK_FALSE(site.reply(20, 4, 12, 1));
}
