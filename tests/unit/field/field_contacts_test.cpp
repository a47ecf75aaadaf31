// Contacts on a Modbus line, through the whole field: what is written, what is read back, and what is
// believed.

#include <algorithm>
#include <filesystem>
#include <memory>

#include "support/catch.hpp"
#include "support/contact_bench.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Bytes;
using support::contact;
using support::drive_until;
using support::eventually;
using support::is_write;
using support::writes_of;
using Bench = support::ContactBench;

namespace {

constexpr int kStation = Bench::kStation;
constexpr int kCoil = Bench::kCoil;

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
