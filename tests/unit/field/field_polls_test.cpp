// Gauges and switches on a Modbus line, through the whole field: threads, schedule, library, real pty.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"

#include <atomic>
#include <cmath>
#include <filesystem>
#include <memory>
#include <mutex>
#include <set>

#include "support/catch.hpp"
#include "support/field_bench.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Burst;
using support::Bytes;
using support::eventually;
using support::value;
using support::wiring_on;
using Bursts = std::vector<Burst>;

namespace {

constexpr Duration kEvery = 50ms;

}  // namespace

TEST_CASE("field: gauges and switches are read, again and again", "[field][modbus]") {
  support::ModbusModule module{3};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 0, 1953);
  module.set_word(4, 1, 215);
  config::Wiring wiring = wiring_on(peer.path());
  auto gauge = support::bench_gauge(3, 0, kEvery);
  std::get<config::ModbusGauge>(gauge.source).air = {
      .table = config::Table::input, .address = 1, .as = config::Encoding::i16, .unit = 0.1};
  wiring.gauges = {gauge};
  wiring.switches = {support::bench_switch(3, 5, kEvery)};
  std::atomic<int> fresh{0};
  Field field{wiring, [&] { ++fresh; }};
  CHECK(field.latest().gauges.at(0).fault == Reason::starting);
  field.start();

  REQUIRE(eventually([&] { return value(field, 0).has_value(); }));
  CHECK(*value(field, 0) == Approx(1.953));
  CHECK(field.latest().gauges.at(0).air.value().value() == Approx(21.5));
  REQUIRE(eventually([&] { return field.latest().switches.at(0).closed == false; }));
  CHECK(field.latest().lines.at(0).open);
  CHECK(field.troubles().at(0).empty());

  module.set_word(4, 0, 1800);
  module.set_bit(2, 5, true);
  CHECK(eventually([&] { return value(field, 0) == Approx(1.8); }));
  CHECK(eventually([&] { return field.latest().switches.at(0).closed == true; }));
  CHECK(fresh >= 4);
  const auto beat = field.heartbeats().at(0);
  CHECK(eventually([&] { return field.heartbeats().at(0) > beat; }));
}

TEST_CASE("field: every read differs in size from the one before it", "[field][modbus]") {
  support::ModbusModule module{3};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  config::Wiring wiring = wiring_on(peer.path());
  wiring.gauges = {support::bench_gauge(3, 0, kEvery), support::bench_gauge(3, 8, kEvery)};
  wiring.switches = {support::bench_switch(3, 5, kEvery)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return peer.requests().size() >= 30; }));
  std::map<std::pair<int, int>, int> last;  // size by function and address
  std::map<int, int> station_last;          // and by function
  for (const Bytes& request : peer.requests()) {
    const int function = request[1];
    const int count = function == 2 ? (request[5] + 7) / 8 : request[5];
    int& of_this = last[{function, request[3]}];
    CHECK(count != of_this);
    CHECK(count != station_last[function]);
    of_this = station_last[function] = count;
  }
}

TEST_CASE("field: a late reply is never a reading", "[field][modbus]") {
  // Every reply carries the number of its request; every fourth one comes after it was given up. Those
  // numbers must never be seen.
  auto asked = std::make_shared<std::atomic<int>>(0);
  support::PtyPeer peer{[asked](const Bytes& request) {
    const int number = ++*asked;
    Bytes reply{request[0], request[1], static_cast<std::uint8_t>(request[5] * 2)};
    for (int n = 0; n < request[5]; ++n)
      reply.insert(reply.end(), {0, static_cast<std::uint8_t>(number)});
    return Bursts{{support::with_crc(reply), number % 4 == 0 ? 600ms : 0ms}};
  }};
  config::Wiring wiring = wiring_on(peer.path(), 400ms);
  wiring.gauges = {support::bench_gauge(3, 0, 10ms)};
  std::mutex mutex;
  std::set<int> seen;
  Field* watched = nullptr;
  Field field{wiring, [&] {
                const auto reading = value(*watched, 0);
                if (!reading) return;
                const std::lock_guard lock{mutex};
                seen.insert(static_cast<int>(std::lround(*reading * 1000)));
              }};
  watched = &field;
  field.start();
  REQUIRE(eventually([&] {
    const std::lock_guard lock{mutex};
    return seen.size() >= 10;
  }));
  const std::lock_guard lock{mutex};
  for (const int number : seen)
    CHECK(number % 4 != 0);
}

TEST_CASE("field: a station that is one reply behind for good is never believed", "[field][modbus]") {
  // The first reply gets lost, and from then on each question is answered with the answer to the one before:
  // what the silence of the line cannot cure.
  support::ModbusModule module{3};
  module.set_word(4, 0, 1953);
  module.set_bit(2, 0, true);
  auto held = std::make_shared<Bursts>();
  support::PtyPeer peer{
      [&module, held](const Bytes& request) { return std::exchange(*held, module.serve(request)); }};
  config::Wiring wiring = wiring_on(peer.path(), 60ms);
  wiring.gauges = {support::bench_gauge(3, 0, 10ms)};
  wiring.switches = {support::bench_switch(3, 0, 10ms)};
  std::atomic<int> believed{0};
  Field* watched = nullptr;
  Field field{wiring, [&] {
                const Readings readings = watched->latest();
                if (readings.gauges.at(0).value || readings.switches.at(0).closed) ++believed;
              }};
  watched = &field;
  field.start();
  CHECK(eventually([&] { return peer.requests().size() >= 12; }));
  CHECK(believed == 0);
}

TEST_CASE("field: an exception costs its own reading only, and says that the station is well",
          "[field][modbus]") {
  support::ModbusModule module{1};
  support::PtyPeer peer{[&](const Bytes& request) {
    if (request[3] == 9) return Bursts{{support::with_crc({1, 0x84, 2})}};
    return module.serve(request);
  }};
  config::Wiring wiring = wiring_on(peer.path());
  wiring.gauges = {support::bench_gauge(1, 9, kEvery), support::bench_gauge(1, 0, kEvery)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(eventually([&] { return value(field, 1).has_value(); }));
  CHECK(field.latest().lines.at(0).failed == 0);
}

TEST_CASE("field: a companion that is never answered costs the gauge little", "[field][modbus]") {
  support::ModbusModule module{1};
  std::atomic<int> companions{0};
  support::PtyPeer peer{[&](const Bytes& request) {
    if (request[1] != 3) return module.serve(request);
    ++companions;
    return Bursts{};
  }};
  config::Wiring wiring = wiring_on(peer.path(), 50ms);
  auto gauge = support::bench_gauge(1, 0, kEvery);
  std::get<config::ModbusGauge>(gauge.source).air = {
      .table = config::Table::holding, .address = 0, .as = config::Encoding::i16, .unit = 0.1};
  wiring.gauges = {gauge};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return module.served() >= 60; }));
  CHECK(companions <= 10);  // asked ever more seldom
  CHECK(value(field, 0).has_value());
  CHECK_FALSE(field.latest().gauges.at(0).air.has_value());
}

TEST_CASE("field: bytes that are no answer make a bad frame, not a missing one", "[field][modbus]") {
  support::PtyPeer peer{[](const Bytes&) { return Bursts{{Bytes(30, 0x55)}}; }};
  config::Wiring wiring = wiring_on(peer.path(), 50ms);
  wiring.gauges = {support::bench_gauge(1, 0, kEvery)};
  Field field{wiring, {}};
  field.start();
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::bad_frame; }));
}

TEST_CASE("field: a module that refuses longer reads is still read", "[field][modbus]") {
  support::ModbusModule module{1};
  module.refuse_longer(true);
  module.set_word(4, 0, 1953);
  module.set_bit(2, 0, true);
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  config::Wiring wiring = wiring_on(peer.path());
  wiring.gauges = {support::bench_gauge(1, 0, kEvery)};
  wiring.switches = {support::bench_switch(1, 0, kEvery)};
  std::atomic<int> failed{0};
  Field* watched = nullptr;
  Field field{wiring, [&] {
                const Readings readings = watched->latest();
                if (readings.gauges.at(0).fault == Reason::no_answer) ++failed;
                if (readings.switches.at(0).fault == Reason::no_answer) ++failed;
              }};
  watched = &field;
  field.start();
  CHECK(eventually([&] { return peer.requests().size() >= 20; }));
  CHECK(value(field, 0) == Approx(1.953));
  CHECK(field.latest().switches.at(0).closed == true);
  CHECK(failed == 0);
}

TEST_CASE("field: an unplugged line fails at once, and recovers by itself when plugged in",
          "[field][modbus]") {
  const support::TemporaryDirectory directory;
  const std::string port = directory.file("shed");
  support::ModbusModule module{1};
  const auto serve = [&](const Bytes& request) { return module.serve(request); };
  auto peer = std::make_unique<support::PtyPeer>(serve);
  std::filesystem::create_symlink(peer->path(), port);
  module.set_word(4, 0, 1953);
  config::Wiring wiring = wiring_on(port);
  wiring.gauges = {support::bench_gauge(1, 0, kEvery)};
  wiring.switches = {support::bench_switch(1, 0, kEvery)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return value(field, 0).has_value(); }));

  peer.reset();
  std::filesystem::remove(port);
  REQUIRE(eventually([&] { return !field.latest().lines.at(0).open; }));
  REQUIRE(eventually([&] { return !value(field, 0).has_value(); }));
  CHECK(field.latest().gauges.at(0).fault == Reason::no_answer);
  CHECK(field.latest().switches.at(0).fault == Reason::no_answer);
  CHECK(eventually([&] { return field.troubles().at(0).find("No such file") != std::string::npos; }));

  module.set_word(4, 0, 1700);
  peer = std::make_unique<support::PtyPeer>(serve);
  std::filesystem::create_symlink(peer->path(), port);
  CHECK(eventually([&] { return value(field, 0) == Approx(1.7); }));
  CHECK(field.latest().lines.at(0).open);
  CHECK(field.troubles().at(0).empty());
}

TEST_CASE("field: a port that was never there is told in words", "[field][modbus]") {
  config::Wiring wiring = wiring_on("/nonexistent/port");
  wiring.gauges = {support::bench_gauge(1, 0, kEvery)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(field.troubles().at(0).find("/nonexistent/port") != std::string::npos);
  CHECK(eventually([&] { return field.latest().lines.at(0).trouble == field.troubles().at(0); }));
  const auto beat = field.heartbeats().at(0);
  CHECK(eventually([&] { return field.heartbeats().at(0) > beat; }));
}
