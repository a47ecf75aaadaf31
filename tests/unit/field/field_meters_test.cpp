// Meters on a Modbus line, through the whole field: real bytes over a real pty.

#include "stillwell/field/field.hpp"

#include <map>

#include "support/catch.hpp"
#include "support/field_bench.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Bytes;
using support::eventually;
using support::wiring_on;

namespace {

config::MeterWiring meter_at(int station, int address, config::Encoding as = config::Encoding::u16) {
  return {.line = {0},
          .every = 50ms,
          .station = station,
          .number = {.table = config::Table::input, .address = address, .as = as, .unit = 0.1}};
}

std::optional<double> load(const Field& field, std::size_t meter = 0) {
  return field.latest().meters.at(meter).value;
}

}  // namespace

TEST_CASE("field: a meter is read, again and again", "[field][modbus][meter]") {
  support::ModbusModule module{20};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 12, 8204);
  config::Wiring wiring = wiring_on(peer.path());
  wiring.meters = {meter_at(20, 12)};
  Field field{wiring, {}};
  CHECK(field.latest().meters.at(0).fault == Reason::starting);
  field.start();
  REQUIRE(eventually([&] { return load(field) == Approx(820.4); }));
  const Instant first = field.latest().meters.at(0).at;
  module.set_word(4, 12, 2500);
  CHECK(eventually([&] { return load(field) == Approx(250.0); }));
  CHECK(field.latest().meters.at(0).at > first);
  CHECK(field.latest().meters.at(0).fault == Reason::none);
}

TEST_CASE("field: a meter whose transmitter says that it is broken has no reading",
          "[field][modbus][meter]") {
  support::ModbusModule module{20};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 12, 2000);
  config::Wiring wiring = wiring_on(peer.path());
  wiring.meters = {meter_at(20, 12)};
  wiring.meters[0].number.fault_below = 740;
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return load(field).has_value(); }));
  module.set_word(4, 12, 0);
  CHECK(eventually([&] { return field.latest().meters.at(0).fault == Reason::no_answer; }));
  CHECK_FALSE(load(field).has_value());
}

TEST_CASE("field: a meter that refuses, and one that is silent, say so and come back",
          "[field][modbus][meter]") {
  support::ModbusModule module{20};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 12, 8204);
  config::Wiring wiring = wiring_on(peer.path(), 50ms);
  wiring.meters = {meter_at(20, 12)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return load(field).has_value(); }));
  module.answer_exception(4);
  CHECK(eventually([&] { return field.latest().meters.at(0).fault != Reason::none; }));
  module.answer_exception(0);
  REQUIRE(eventually([&] { return load(field).has_value(); }));
  module.be_silent(true);
  CHECK(eventually([&] { return field.latest().meters.at(0).fault == Reason::no_answer; }));
  CHECK_FALSE(load(field).has_value());
  module.be_silent(false);
  CHECK(eventually([&] { return load(field) == Approx(820.4); }));
}

TEST_CASE("field: every read of a meter differs in size from the one before it",
          "[field][modbus][meter][rule-11]") {
  support::ModbusModule module{20};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  config::Wiring wiring = wiring_on(peer.path());
  wiring.meters = {meter_at(20, 12), meter_at(20, 30, config::Encoding::f32be)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return peer.requests().size() >= 30; }));
  std::map<int, int> last;  // registers asked for, by address
  for (const Bytes& request : peer.requests()) {
    REQUIRE(request[1] == 4);
    CHECK(request[5] >= (request[3] == 30 ? 2 : 1));
    int& of_this = last[request[3]];
    CHECK(request[5] != of_this);
    of_this = request[5];
  }
  CHECK(last.size() == 2);
}

TEST_CASE("field: when the line is gone its meters have no reading", "[field][modbus][meter]") {
  auto module = std::make_unique<support::ModbusModule>(20);
  auto peer =
      std::make_unique<support::PtyPeer>([&](const Bytes& request) { return module->serve(request); });
  module->set_word(4, 12, 8204);
  config::Wiring wiring = wiring_on(peer->path());
  wiring.meters = {meter_at(20, 12)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return load(field).has_value(); }));
  peer.reset();
  CHECK(eventually([&] { return field.latest().meters.at(0).fault == Reason::no_answer; }));
  CHECK_FALSE(load(field).has_value());
}
