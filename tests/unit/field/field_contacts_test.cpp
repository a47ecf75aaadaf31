// Contacts on a Modbus line, through the whole field: what is written, what is read back, and what is
// believed.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>

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

namespace {

constexpr int kStation = 10;
constexpr int kCoil = 2;

struct Bench {
  support::ModbusModule module{kStation};
  support::PtyPeer peer{[this](const Bytes& request) { return module.serve(request); }};
  config::Wiring wiring;

  explicit Bench(Duration timeout = 1s) {
    wiring.lines = {support::bench_line(peer.path(), timeout)};
    wiring.contacts = {support::bench_contact(kStation, kCoil)};
    wiring.scan = 1s;
  }
};

std::optional<bool> contact(const Field& field) {
  return field.latest().contacts.at(0).on;
}

/// Drives again and again, as the scan does, until the condition holds.
template <class Condition>
bool drive_until(Field& field, Order order, Condition&& condition) {
  return eventually([&] {
    field.drive({order}, now());
    return condition();
  });
}

bool is_write(const Bytes& request) {
  return request[1] == 5;
}

int writes_of(const std::vector<Bytes>& requests, bool on) {
  const auto fits = [&](const Bytes& request) { return request[1] == 5 && (request[4] == 0xFF) == on; };
  return static_cast<int>(std::count_if(requests.begin(), requests.end(), fits));
}

}  // namespace

TEST_CASE("contact: at the start it is written off and confirmed before anything else is done",
          "[field][contact]") {
  Bench bench;
  bench.module.set_bit(1, kCoil, true);  // left on by whoever was here before
  bench.wiring.gauges = {support::bench_gauge(kStation, 0, 10ms)};
  Field field{bench.wiring, {}};
  field.drive({Order::on}, now());
  field.start();
  REQUIRE(eventually([&] { return bench.peer.requests().size() >= 4; }));
  const auto requests = bench.peer.requests();
  CHECK(requests[0] == support::with_crc({kStation, 5, 0, kCoil, 0, 0}));
  CHECK(requests[1][1] == 1);
  CHECK(requests[2][1] == 1);
  // Two reads whose replies differ in size: one bit (one byte) and nine (two bytes).
  CHECK((requests[1][5] + 7) / 8 != (requests[2][5] + 7) / 8);
  CHECK(field.latest().contacts.at(0).fault != Reason::no_answer);
}

TEST_CASE("contact: an order is written, read back, and only then told", "[field][contact]") {
  Bench bench;
  Field field{bench.wiring, {}};
  CHECK_FALSE(contact(field).has_value());
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  CHECK(bench.module.bit(1, kCoil));
  REQUIRE(drive_until(field, Order::off, [&] { return contact(field) == false; }));
  CHECK_FALSE(bench.module.bit(1, kCoil));
}

TEST_CASE("contact: one in a register is written and read back likewise", "[field][contact]") {
  Bench bench;
  bench.wiring.contacts[0].output = config::RegisterOutput{.address = 3, .on = 0x0100, .off = 0x0200};
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  CHECK(bench.module.word(3, 3) == 0x0200);
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  CHECK(bench.module.word(3, 3) == 0x0100);
  // A word that is neither on nor off is not known to be either.
  bench.module.ignore_writes(true);
  bench.module.set_word(3, 3, 0x0300);
  REQUIRE(drive_until(field, Order::on, [&] { return !contact(field).has_value(); }));
  CHECK(field.latest().contacts.at(0).fault == Reason::disagree);
}

TEST_CASE("contact: an echo without an effect is not believed", "[field][contact]") {
  Bench bench;
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  bench.module.ignore_writes(true);
  REQUIRE(drive_until(field, Order::on, [&] { return writes_of(bench.peer.requests(), true) >= 4; }));
  CHECK(contact(field) == false);
  bench.module.ignore_writes(false);
  CHECK(drive_until(field, Order::on, [&] { return contact(field) == true; }));
}

TEST_CASE("contact: one that sticks is told as on, and ordered off for ever", "[field][contact]") {
  Bench bench;
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  bench.module.ignore_writes(true);
  const int before = writes_of(bench.peer.requests(), false);
  REQUIRE(
      drive_until(field, Order::off, [&] { return writes_of(bench.peer.requests(), false) >= before + 4; }));
  CHECK(contact(field) == true);
}

TEST_CASE("contact: one that cannot be reached is unknown, never what it was last", "[field][contact]") {
  Bench bench{100ms};
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  bench.module.be_silent(true);
  REQUIRE(drive_until(field, Order::on, [&] { return !contact(field).has_value(); }));
  CHECK(field.latest().contacts.at(0).fault == Reason::no_answer);
  const Instant unknown_at = field.latest().contacts.at(0).at;
  CHECK(drive_until(field, Order::off, [&] { return field.latest().contacts.at(0).at > unknown_at; }));
  bench.module.be_silent(false);
  CHECK(drive_until(field, Order::off, [&] { return contact(field) == false; }));
}

TEST_CASE("contact: one reply that is late cannot confirm it", "[field][contact]") {
  // The peer answers every read with the answer to the read before it; the echoes of writes are prompt.
  Bench bench{60ms};
  auto held = std::make_shared<std::vector<support::Burst>>();
  bench.peer.follow([&bench, held](const Bytes& request) {
    if (is_write(request)) return bench.module.serve(request);
    return std::exchange(*held, bench.module.serve(request));
  });
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return bench.peer.requests().size() >= 11; }));
  CHECK_FALSE(contact(field).has_value());
}

TEST_CASE("contact: a module that allows one size of read only is confirmed all the same",
          "[field][contact]") {
  Bench bench;
  bench.module.refuse_longer(true);
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  CHECK(bench.module.bit(1, kCoil));
}

TEST_CASE("contact: an off overtakes everything else on its line", "[field][contact]") {
  Bench bench;
  for (int address = 0; address < 40; ++address)
    bench.wiring.gauges.push_back(support::bench_gauge(kStation, address, 1ms));  // never idle
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  const int offs = writes_of(bench.peer.requests(), false);
  field.drive({Order::off}, now());
  const auto told_at = bench.peer.requests().size();
  REQUIRE(eventually([&] { return writes_of(bench.peer.requests(), false) > offs; }));
  const auto requests = bench.peer.requests();
  std::size_t others = 0;
  for (std::size_t n = told_at; n < requests.size() && !is_write(requests[n]); ++n)
    ++others;
  CHECK(others <= 2);  // what was under way, and a read-back of two that had begun
}

TEST_CASE("contact: a dead relay module does not keep the gauges of its line from being read",
          "[field][contact]") {
  Bench bench{60ms};
  support::ModbusModule sensor{1};
  bench.module.be_silent(true);
  bench.peer.follow([&](const Bytes& request) {
    return request[0] == 1 ? sensor.serve(request) : bench.module.serve(request);
  });
  bench.wiring.contacts.push_back(support::bench_contact(kStation, kCoil + 1));
  bench.wiring.gauges = {support::bench_gauge(1, 0, 20ms)};
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return bench.module.served() >= 8; }));
  CHECK(sensor.served() >= 5);
}

TEST_CASE("contact: the drop-out timer is wound up before the coil and while it is on", "[field][contact]") {
  Bench bench;
  bench.wiring.contacts[0].refresh = config::Refresh{.address = 40, .hold = 3s, .unit = 1s};
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  const Bytes refresh = support::with_crc({kStation, 6, 0, 40, 0, 3});
  const Bytes close = support::with_crc({kStation, 5, 0, kCoil, 0xFF, 0});
  const auto requests = bench.peer.requests();
  const auto first_refresh = std::find(requests.begin(), requests.end(), refresh);
  const auto closing = std::find(requests.begin(), requests.end(), close);
  REQUIRE(closing != requests.end());
  CHECK(first_refresh < closing);
  CHECK(drive_until(field, Order::on, [&] {
    const auto seen = bench.peer.requests();
    return std::count(seen.begin(), seen.end(), refresh) >= 3;
  }));
}

TEST_CASE("contact: when the scan hangs, no refresh is sent and the contact is written off",
          "[field][contact]") {
  Bench bench;
  bench.wiring.scan = 100ms;
  bench.wiring.contacts[0].refresh = config::Refresh{.address = 40, .hold = 1s, .unit = 1s};
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return contact(field) == false; }));
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  // Nobody drives any more.
  REQUIRE(eventually([&] { return contact(field) == false; }));
  CHECK_FALSE(bench.module.bit(1, kCoil));
  const auto seen = bench.peer.requests();
  const Bytes refresh = support::with_crc({kStation, 6, 0, 40, 0, 1});
  CHECK(std::count(seen.begin(), seen.end(), refresh) <=
        3);  // a hold of 1 s wants fifteen in the five seconds
}

TEST_CASE("contact: after a re-plug it is written and confirmed anew", "[field][contact]") {
  const support::TemporaryDirectory directory;
  const std::string port = directory.file("shed");
  support::ModbusModule module{kStation};
  const auto serve = [&](const Bytes& request) { return module.serve(request); };
  auto peer = std::make_unique<support::PtyPeer>(serve);
  std::filesystem::create_symlink(peer->path(), port);
  config::Wiring wiring;
  wiring.lines = {support::bench_line(port, 1s)};
  wiring.contacts = {support::bench_contact(kStation, kCoil)};
  wiring.scan = 1s;
  Field field{wiring, {}};
  field.start();
  REQUIRE(drive_until(field, Order::on, [&] { return contact(field) == true; }));
  peer.reset();
  std::filesystem::remove(port);
  REQUIRE(drive_until(field, Order::off, [&] { return !contact(field).has_value(); }));
  CHECK(module.bit(1, kCoil));  // nothing could be written
  peer = std::make_unique<support::PtyPeer>(serve);
  std::filesystem::create_symlink(peer->path(), port);
  CHECK(drive_until(field, Order::off, [&] { return contact(field) == false; }));
  CHECK_FALSE(module.bit(1, kCoil));
  CHECK(peer->requests().front()[1] == 5);  // before anything is read
}

TEST_CASE("release: all contacts are off and confirmed, or it says that they are not", "[field][contact]") {
  Bench bench{100ms};
  bench.wiring.contacts.push_back(support::bench_contact(kStation, kCoil + 1));
  Field field{bench.wiring, {}};
  CHECK_FALSE(field.release(10ms));  // nobody has confirmed anything yet
  field.start();
  REQUIRE(eventually([&] {
    field.drive({Order::on, Order::on}, now());
    return bench.module.bit(1, kCoil) && bench.module.bit(1, kCoil + 1);
  }));
  CHECK(field.release(10s));
  CHECK_FALSE(bench.module.bit(1, kCoil));
  CHECK_FALSE(bench.module.bit(1, kCoil + 1));
  CHECK(field.release(10s));  // and again, by writing again
  bench.module.be_silent(true);
  CHECK_FALSE(field.release(300ms));
}

TEST_CASE("drive: it never waits for a wire", "[field][contact]") {
  Bench bench{2s};
  bench.module.be_silent(true);
  Field field{bench.wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return !bench.peer.requests().empty(); }));
  for (int n = 0; n < 1000; ++n) {
    field.drive({n % 2 == 0 ? Order::on : Order::off}, now());
    (void)field.latest();
  }
  CHECK(field.latest().lines.at(0).failed == 0);  // the first question is still waiting for its answer
}
