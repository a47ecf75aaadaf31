// What shares a line: who goes first, and that nobody is kept from being read.

#include "support/catch.hpp"
#include "support/contact_bench.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Bytes;
using support::contact;
using support::drive_until;
using support::eventually;
using support::writes_of;
using Bench = support::ContactBench;

namespace {

constexpr int kStation = Bench::kStation;
constexpr int kCoil = Bench::kCoil;

}  // namespace

TEST_CASE("field: a silent station keeps nobody from being read", "[field][modbus]") {
  support::ModbusModule well{1};
  support::ModbusModule dead{2};
  dead.be_silent(true);
  support::PtyPeer peer{
      [&](const Bytes& request) { return request[0] == 1 ? well.serve(request) : dead.serve(request); }};
  config::Wiring wiring;
  wiring.lines = {support::bench_line(peer.path(), 50ms)};
  wiring.gauges = {support::bench_gauge(2, 0, 50ms), support::bench_gauge(1, 0, 50ms),
                   support::bench_gauge(2, 1, 50ms)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return dead.served() >= 8; }));  // it is known to be silent by now
  const int before = well.served();
  const int probes = dead.served();
  REQUIRE(eventually([&] { return dead.served() >= probes + 2; }));
  CHECK(well.served() - before >= 10);
  CHECK(field.latest().gauges.at(1).value.has_value());
  for (const std::size_t gauge : {0U, 2U}) {
    CHECK_FALSE(field.latest().gauges.at(gauge).value.has_value());
    CHECK(field.latest().gauges.at(gauge).fault == Reason::no_answer);
  }
  dead.be_silent(false);
  CHECK(eventually([&] {
    return field.latest().gauges.at(0).value.has_value() && field.latest().gauges.at(2).value.has_value();
  }));
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
  for (std::size_t n = told_at; n < requests.size() && !support::is_write(requests[n]); ++n)
    ++others;
  CHECK(others <= 2);  // what was under way, and a read-back of two that had begun
}

TEST_CASE("contact: a dead relay module does not keep the gauges of its line from being read",
          "[field][contact]") {
  Bench bench{30ms};
  support::ModbusModule sensor{1};
  bench.module.be_silent(true);
  bench.peer.follow([&](const Bytes& request) {
    return request[0] == 1 ? sensor.serve(request) : bench.module.serve(request);
  });
  constexpr int kContacts = 16;
  for (int coil = 1; coil < kContacts; ++coil)
    bench.wiring.contacts.push_back(support::bench_contact(kStation, kCoil + coil));
  bench.wiring.gauges = {support::bench_gauge(1, 0, 1ms)};
  Field field{bench.wiring, {}};
  field.start();
  // The first attempts go before everything; from then on the gauge has its turn between any two.
  REQUIRE(eventually([&] { return bench.module.served() >= 2 * kContacts; }));
  const int before = sensor.served();
  REQUIRE(eventually([&] { return bench.module.served() >= 4 * kContacts; }));
  CHECK(sensor.served() - before >= kContacts);
}
