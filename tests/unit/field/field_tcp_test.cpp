// Gauges, switches and contacts behind a gateway, through the whole field.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"

#include <algorithm>
#include <memory>

#include "support/catch.hpp"
#include "support/contact_bench.hpp"
#include "support/field_bench.hpp"
#include "support/process.hpp"
#include "support/tcp_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Burst;
using support::Bytes;
using support::eventually;
using support::over_tcp;
using support::serve_over_tcp;
using Bursts = std::vector<Burst>;

namespace {

constexpr int kUnit = 6;  // of a request's bytes, where the station stands
constexpr int kFunction = 7;

config::Wiring wiring_to(int port, Duration timeout) {
  config::Wiring wiring;
  wiring.lines = {support::bench_line("", timeout)};
  wiring.lines[0].tcp = config::TcpAddress{.host = "127.0.0.1", .port = port};
  wiring.lines[0].quiet = 0s;
  wiring.scan = 1s;
  return wiring;
}

std::optional<double> value(const Field& field, std::size_t gauge = 0) {
  const auto sample = field.latest().gauges.at(gauge);
  if (!sample.value) return std::nullopt;
  return sample.value->value();
}

std::ptrdiff_t asked(const support::TcpPeer& peer, int station) {
  const auto requests = peer.requests();
  return std::count_if(requests.begin(), requests.end(),
                       [&](const Bytes& request) { return request[kUnit] == station; });
}

}  // namespace

TEST_CASE("field over tcp: stations that do not answer do not starve the others", "[field][tcp]") {
  // For station 1 the gateway says that it does not answer, for station 2 that there is no way to it, station
  // 3 is silent without a word, and 4 is well.
  support::ModbusModule module{4};
  module.set_word(4, 0, 1953);
  support::TcpPeer peer{[&](const Bytes& request) {
    const std::uint8_t station = request[kUnit];
    const std::uint8_t refusal = request[kFunction] | 0x80;
    if (station == 1) return Bursts{{over_tcp(request, {station, refusal, 0x0B})}};
    if (station == 2) return Bursts{{over_tcp(request, {station, refusal, 0x0A})}};
    return serve_over_tcp(module, request);
  }};
  config::Wiring wiring = wiring_to(peer.port(), 50ms);
  for (const int station : {1, 2, 3, 4})
    wiring.gauges.push_back(support::bench_gauge(station, 0, 50ms));
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return asked(peer, 4) >= 60; }));
  CHECK(value(field, 3) == Approx(1.953));
  for (const std::size_t gauge : {0U, 1U, 2U}) {
    INFO("gauge " << gauge);
    CHECK(field.latest().gauges.at(gauge).fault == Reason::no_answer);
    CHECK(asked(peer, static_cast<int>(gauge) + 1) < 30);
  }
  CHECK(field.latest().lines.at(0).failed > 0);
}

TEST_CASE("field over tcp: every read differs in size from the one before it, here too", "[field][tcp]") {
  support::ModbusModule module{3};
  support::TcpPeer peer{[&](const Bytes& request) { return serve_over_tcp(module, request); }};
  config::Wiring wiring = wiring_to(peer.port(), 1s);
  wiring.gauges = {support::bench_gauge(3, 0, 20ms), support::bench_gauge(3, 8, 20ms)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return peer.requests().size() >= 30; }));
  int last = 0;
  for (const Bytes& request : peer.requests()) {
    CHECK(request.back() != last);
    last = request.back();
  }
}

TEST_CASE("field over tcp: a contact is written, read back in two sizes, and released",
          "[field][tcp][contact]") {
  support::ModbusModule module{10};
  module.set_bit(1, 2, true);  // left on by whoever was here before
  support::TcpPeer peer{[&](const Bytes& request) { return serve_over_tcp(module, request); }};
  config::Wiring wiring = wiring_to(peer.port(), 1s);
  wiring.contacts = {support::bench_contact(10, 2)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return support::contact(field) == false; }));
  const auto requests = peer.requests();
  REQUIRE(requests.size() >= 3);
  CHECK(requests[0][kFunction] == 5);
  CHECK(requests[1][kFunction] == 1);
  CHECK(requests[2][kFunction] == 1);
  CHECK((requests[1].back() + 7) / 8 != (requests[2].back() + 7) / 8);
  REQUIRE(support::drive_until(field, Order::on, [&] { return support::contact(field) == true; }));
  CHECK(module.bit(1, 2));
  CHECK(field.release(10s));
  CHECK_FALSE(module.bit(1, 2));
}

TEST_CASE("field over tcp: a contact that does nothing behind its echo is not believed",
          "[field][tcp][contact]") {
  support::ModbusModule module{10};
  support::TcpPeer peer{[&](const Bytes& request) { return serve_over_tcp(module, request); }};
  config::Wiring wiring = wiring_to(peer.port(), 1s);
  wiring.contacts = {support::bench_contact(10, 2)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return support::contact(field) == false; }));
  REQUIRE(support::drive_until(field, Order::on, [&] { return support::contact(field) == true; }));
  module.ignore_writes(true);
  CHECK_FALSE(field.release(300ms));
  CHECK(support::contact(field) == true);
}

TEST_CASE("field over tcp: a gateway that goes fails everything at once, and recovers by itself",
          "[field][tcp]") {
  support::ModbusModule module{1};
  module.set_word(4, 0, 1953);
  support::TcpPeer peer{[&](const Bytes& request) { return serve_over_tcp(module, request); }};
  config::Wiring wiring = wiring_to(peer.port(), 1s);
  wiring.gauges = {support::bench_gauge(1, 0, 50ms)};
  wiring.contacts = {support::bench_contact(1, 0)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return value(field).has_value() && support::contact(field) == false; }));
  peer.follow([](const Bytes&) { return Bursts{{{}}}; });  // it hangs up on every question
  REQUIRE(eventually([&] { return !field.latest().lines.at(0).open; }));
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(eventually([&] { return !support::contact(field).has_value(); }));
  CHECK(eventually([&] { return field.troubles().at(0).find("lost") != std::string::npos; }));
  const auto beat = field.heartbeats().at(0);
  CHECK(eventually([&] { return field.heartbeats().at(0) > beat; }));

  module.set_word(4, 0, 1700);
  peer.follow([&](const Bytes& request) { return serve_over_tcp(module, request); });
  CHECK(eventually([&] { return value(field) == Approx(1.7); }));
  CHECK(eventually([&] { return support::contact(field) == false; }));
  CHECK(field.troubles().at(0).empty());
  CHECK(peer.connections() >= 2);
}

TEST_CASE("field over tcp: a gateway that was never there is told in words, and the thread lives",
          "[field][tcp]") {
  int port = 0;
  {
    port = support::TcpPeer{[](const Bytes&) { return Bursts{}; }}.port();
  }
  config::Wiring wiring = wiring_to(port, 100ms);
  wiring.gauges = {support::bench_gauge(1, 0, 50ms)};
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(field.troubles().at(0).find("127.0.0.1:" + std::to_string(port)) != std::string::npos);
  const auto beat = field.heartbeats().at(0);
  CHECK(eventually([&] { return field.heartbeats().at(0) > beat; }));
}
