// Brokers, networks and name servers at their worst, with the real daemon: the scan does not notice, the
// daemon says what is wrong, and it ends when it is told to.

#include <atomic>
#include <chrono>
#include <csignal>
#include <iostream>
#include <string>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/scripted_broker.hpp"
#include "support/silent_resolver.hpp"

using support::eventually;
using support::Gateway;
using support::ScriptedBroker;

namespace {

Gateway::Edits with_broker(const std::string& url) {
  return {{"  url: mqtt://127.0.0.1:18830\n", "  url: " + url + "\n  accept: [acknowledge, mode]\n"}};
}
Gateway::Edits with_broker(int port) {
  return with_broker("mqtt://127.0.0.1:" + std::to_string(port));
}

std::uint64_t scans(const Gateway& gateway) {
  const std::string text = gateway.status("/scan/scans");
  return text.empty() ? 0 : std::stoull(text);
}

/// Scans go on while whatever is wrong stays wrong.
bool scans_go_on(const Gateway& gateway) {
  const auto before = scans(gateway);
  return eventually([&] { return scans(gateway) >= before + 10; });
}

std::string of_proc(Gateway& gateway, const std::string& key) {
  const std::string text = support::read_file("/proc/" + std::to_string(gateway.daemon().pid()) + "/status");
  const auto at = text.find(key);
  return at == std::string::npos ? "" : text.substr(at, text.find('\n', at) - at);
}

/// Ends the daemon while it is still so, and prints how all of it went.
void end(Gateway& gateway, const std::string& what) {
  const std::string figures = std::to_string(scans(gateway)) + " scans, " + gateway.status("/scan/missed") +
                              " missed, worst delay " + gateway.status("/scan/worst_delay_ms") + " ms, " +
                              of_proc(gateway, "VmHWM");
  const auto asked = std::chrono::steady_clock::now();
  gateway.daemon().signal(SIGTERM);
  CHECK(gateway.daemon().wait_exit() == 0);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - asked;
  std::cout << what << ": " << figures << ", ended in " << took.count() << " s\n";
}

}  // namespace

TEST_CASE("bad network: a name server that never answers delays no scan, and not the end",
          "[e2e][network][bad]") {
  const support::SilentResolver resolver;
  if (!resolver.why_not().empty()) {
    WARN("skipped: " << resolver.why_not());
    return;
  }
  Gateway gateway{Gateway::With::broker, with_broker("mqtt://broker.orchard.example:1883")};
  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit() == 0);
  gateway.start_daemon({}, resolver.launcher());
  REQUIRE(resolver.was_asked());
  CHECK(scans_go_on(gateway));
  CHECK(gateway.command({"mode", "lift", "off"}).code == 0);  // a person is heard
  end(gateway, "silent name server");
}

TEST_CASE("bad network: a broker that takes the connection and never says a word", "[e2e][network][bad]") {
  const ScriptedBroker broker{[](const std::string&) { return std::string{}; }};
  Gateway gateway{Gateway::With::broker, with_broker(broker.port())};
  REQUIRE(eventually([&] { return broker.clients() > 0; }));
  CHECK(scans_go_on(gateway));
  CHECK(gateway.journal_tells({R"("cause":"broker-away")"}));
  end(gateway, "silent broker");
}

TEST_CASE("bad network: a broker that stops in its tracks", "[e2e][network][bad]") {
  Gateway gateway;
  REQUIRE(eventually([&] { return gateway.broker().retained("homie/5/orchard/$state") == "ready"; }));
  gateway.broker().freeze(true);
  gateway.order("set header 30 %");
  gateway.order("set cistern 80 %");
  CHECK(gateway.status_becomes("/pumps/0/state", "running"));
  CHECK(scans_go_on(gateway));
  end(gateway, "frozen broker");
  gateway.broker().freeze(false);
}

TEST_CASE("bad network: a broker that floods us with commands", "[e2e][network][bad]") {
  const ScriptedBroker broker;
  Gateway gateway{Gateway::With::broker, with_broker(broker.port())};
  REQUIRE(gateway.journal_tells({R"("cause":"broker-connected")"}));
  const std::size_t lines = gateway.journal({"seq"}).size();
  std::string burst;
  for (int i = 0; i < 100; ++i)
    burst += ScriptedBroker::message("homie/5/orchard-lift/pump/mode/set", "off", static_cast<char>(i + 1));
  const auto before = scans(gateway);
  std::uint64_t sent = 0;
  CHECK(eventually([&] {
    for (int i = 0; i < 10 && broker.send(burst); ++i)
      sent += 100;
    return scans(gateway) >= before + 10;
  }));
  CHECK(sent > 1000);
  CHECK(gateway.command({"mode", "bore", "off"}).code == 0);  // a person is heard
  CHECK(gateway.journal_tells({R"("of":"bore","cause":"mode")"}));
  CHECK(gateway.journal({"seq"}).size() < lines + 20);
  std::cout << sent << " commands, ";
  end(gateway, "flooding broker");
}

TEST_CASE("bad network: a broker that acknowledges what was never sent", "[e2e][network][bad]") {
  const ScriptedBroker broker{[](const std::string& packet) {
    std::string lies;
    for (char id = 0; id < 4; ++id)  // PUBACK, PUBREC, PUBREL, PUBCOMP and SUBACK of strange packets
      for (const char type : {'\x40', '\x50', '\x62', '\x70'})
        lies += std::string{type, '\x02', '\x7f', id};
    lies += std::string{'\x90', '\x04', '\x7e', '\x01', '\x00', '\x00'};
    const int type = static_cast<unsigned char>(packet.front()) >> 4;
    const bool is_ours = type == 3 || type == 8;  // PUBLISH or SUBSCRIBE: lies about lies would never end
    return is_ours ? lies + ScriptedBroker::honest(packet) : ScriptedBroker::honest(packet);
  }};
  Gateway gateway{Gateway::With::broker, with_broker(broker.port())};
  CHECK(scans_go_on(gateway));
  CHECK(gateway.journal_tells({R"("cause":"broker-)"}));  // connected, or away: it is said
  CHECK(gateway.daemon().alive());
  end(gateway, "lying broker");
}

TEST_CASE("bad network: a broker that sends garbage", "[e2e][network][bad]") {
  const auto seed = support::seed_or(20'260'302);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const auto garbage = [&dice] {
    std::string bytes(static_cast<std::size_t>(1 + dice.roll(4000)), '\0');
    for (char& byte : bytes)
      byte = static_cast<char>(dice.roll(256));
    return bytes;
  };
  SECTION("at once") {
    const ScriptedBroker broker{[&](const std::string&) { return garbage(); }};
    Gateway gateway{Gateway::With::broker, with_broker(broker.port())};
    CHECK(gateway.journal_tells({R"("cause":"broker-away")"}));
    CHECK(scans_go_on(gateway));
    CHECK(gateway.daemon().alive());
    end(gateway, "garbage at once");
  }
  SECTION("once we are connected") {
    std::atomic<int> answered = 0;
    const ScriptedBroker broker{[&](const std::string& packet) {
      return ++answered % 50 == 0 ? garbage() : ScriptedBroker::honest(packet);
    }};
    Gateway gateway{Gateway::With::broker, with_broker(broker.port())};
    // It may take the garbage for the head of a huge message, and wait for the rest of it for a minute.
    CHECK(eventually([&] { return broker.clients() > 1; }, support::Bound{120'000}));
    CHECK(scans_go_on(gateway));
    CHECK(gateway.daemon().alive());
    end(gateway, "garbage in between");
  }
}
