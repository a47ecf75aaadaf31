// `stillwell sound` on real wires: through a daemon that holds the line, and on a line that nobody holds.

#include <csignal>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/modbus_module.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"
#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <unistd.h>

using nlohmann::json;
using support::eventually;
using support::Gateway;

namespace {

constexpr int kStation = 1;

std::string site_on(const std::string& port) {
  return R"(site: { id: hill-house }
lines:
  shed: { port: )" +
         port + R"(, speed: 115200 8N1, carries: modbus, timeout: 100 ms }
gauges:
  header-top:
    line: shed
    station: 1
    distance: { table: input, address: 0, as: u16, unit: mm }
    blanking: 25 cm
    every: 100 ms
    stale_after: 3 s
tanks:
  header: { gauge: header-top, to_floor: 2.85 m, to_full: 40 cm, holds: { capacity: 5000 L } }
)";
}

/// A module on a pty, and a configuration whose line it is on; no daemon.
struct SoundBench {
  support::ModbusModule module{kStation};
  support::PtyPeer peer{[this](const support::Bytes& request) { return module.serve(request); }};
  support::TemporaryDirectory directory;

  SoundBench() { support::write_file(directory.file("site.yaml"), site_on(peer.path())); }

  [[nodiscard]] std::vector<std::string> words(std::vector<std::string> more) const {
    more.insert(more.begin(), {support::binary_dir() + "/stillwell", "sound", "header-top", "--config",
                               directory.file("site.yaml"), "--socket", directory.file("socket")});
    return more;
  }
  [[nodiscard]] Gateway::Ended sound(const std::vector<std::string>& more) const {
    support::Process process{words(more)};
    const int code = process.wait_exit().value_or(-1);
    return {code, process.out(), process.err()};
  }
};

json gauge_in(const Gateway::Ended& ended, std::size_t at) {
  const auto result = json::parse(ended.out, nullptr, false);
  const json::json_pointer path{"/gauges/" + std::to_string(at)};
  INFO(ended.out << ended.err);
  REQUIRE_FALSE(result.is_discarded());
  REQUIRE(result.contains(path));
  return result[path];
}

}  // namespace

TEST_CASE("sound: of a running daemon the readings are taken, and its line is left to it", "[e2e][rule-20]") {
  Gateway gateway{Gateway::With::no_broker};
  Gateway::Ended ended;
  // A machine that also compiles may miss a sounding now and then, and that is told.
  REQUIRE(eventually(
      [&] {
        ended = gateway.command({"sound", "header-top", "cistern-top", "--for", "4 s", "--json", "--config",
                                 gateway.configuration()});
        return ended.code == 0;
      },
      support::Bound{90'000}));
  CHECK(json::parse(ended.out)["through"] == "daemon");
  const json header = gauge_in(ended, 0);  // Modbus, 1.15 m above the floor, 60 % of 0.8 m of water
  CHECK(header["gauge"] == "header-top");
  CHECK(header["count"].get<int>() >= 7);
  CHECK(header["count"].get<int>() <= 9);  // the same reading was seen several times, and counts once
  CHECK(header["mean_m"].get<double>() == Approx(0.67).margin(0.01));
  CHECK(gauge_in(ended, 1)["mean_m"].get<double>() == Approx(0.64).margin(0.01));  // frames
  CHECK(gateway.status("/lines/0/open") == "true");
}

TEST_CASE("sound: a gauge that is silent behind the daemon is told with its reason", "[e2e][rule-20]") {
  Gateway gateway{Gateway::With::no_broker};
  gateway.order("fault header-top silence");
  REQUIRE(gateway.status_becomes("/gauges/0/fault", "no-answer"));
  const auto alone =
      gateway.command({"sound", "header-top", "--for", "3 s", "--json", "--config", gateway.configuration()});
  CHECK(alone.code == 3);
  const json silent = gauge_in(alone, 0);
  CHECK(silent["count"] == 0);
  CHECK(silent["missed"].get<int>() >= 5);
  CHECK(silent["mean_m"].is_null());
  CHECK(silent["faults"].contains("no-answer"));
  const auto both = gateway.command(
      {"sound", "header-top", "sump-top", "--for", "3 s", "--config", gateway.configuration()});
  CHECK(both.code == 1);
  CHECK(both.out.find("header-top: 0 soundings in 3 s") != std::string::npos);
}

TEST_CASE("sound: when the file was changed since the daemon read it, that is told", "[e2e][rule-20]") {
  Gateway gateway{Gateway::With::no_broker};
  std::string text = support::read_file(gateway.configuration());
  const std::string other = gateway.directory().file("other.yaml");
  support::write_file(other, text + "# changed\n");
  const auto changed = gateway.command({"sound", "header-top", "--for", "2 s", "--config", other});
  CHECK(changed.code <= 1);
  CHECK(changed.err.find("another version of the configuration") != std::string::npos);
  for (std::size_t at = 0; (at = text.find("header-top", at)) != std::string::npos;)
    text.replace(at, 10, "header-new");
  support::write_file(other, text);
  const auto renamed = gateway.command({"sound", "header-new", "--for", "2 s", "--config", other});
  CHECK(renamed.code == 4);
  CHECK(renamed.err.find("has no gauge header-new") != std::string::npos);
}

TEST_CASE("sound: without a daemon the line is read by itself, and nothing is written to it",
          "[e2e][rule-20]") {
  SoundBench bench;
  bench.module.set_word(4, 0, 1953);
  const auto ended = bench.sound({"--for", "2 s"});
  INFO(ended.out << ended.err);
  CHECK(ended.code <= 1);  // 1: some were missed by a machine that was busy
  CHECK(ended.out.find("no daemon runs: read on the line itself") != std::string::npos);
  CHECK(ended.out.find("mean 1.953 m, spread 0.0 mm; from 1.953 m to 1.953 m") != std::string::npos);
  CHECK(ended.err.empty());  // no progress where there is no terminal
  const auto requests = bench.peer.requests();
  CHECK(requests.size() >= 10);
  for (const auto& request : requests)
    CHECK(request.at(1) == 4);
}

TEST_CASE("sound: while it reads a line nobody else may", "[e2e][rule-20]") {
  SoundBench bench;
  bench.module.set_word(4, 0, 1953);
  support::Process first{bench.words({"--for", "2 min", "--json"})};
  REQUIRE(eventually([&] { return bench.module.served() > 0; }));
  const auto second = bench.sound({"--for", "1 s"});
  CHECK(second.code == 4);
  CHECK(second.err.find("line shed") != std::string::npos);
  CHECK(second.err.find("is held by another program") != std::string::npos);
  support::Process daemon{{support::binary_dir() + "/stillwell", "run", "--config",
                           bench.directory.file("site.yaml"), "--state", bench.directory.file("state"),
                           "--socket", bench.directory.file("other-socket")}};
  CHECK(daemon.wait_line("another program holds it"));
  daemon.signal(SIGTERM);
  CHECK(daemon.wait_exit());
  CHECK(first.alive());
  first.signal(SIGTERM);
  CHECK(first.wait_exit());
  CHECK(bench.sound({"--for", "1 s"}).code <= 1);  // and when it has ended the line is free
}

TEST_CASE("sound: a line that a program holds which is no daemon is refused", "[e2e][rule-20]") {
  SoundBench bench;
  const int held = ::open(bench.peer.path().c_str(), O_RDWR | O_NOCTTY);
  REQUIRE(held >= 0);
  REQUIRE(::flock(held, LOCK_EX | LOCK_NB) == 0);
  CHECK(bench.sound({"--for", "1 s"}).code == 4);
  ::close(held);
  CHECK(bench.peer.requests().empty());
}

TEST_CASE("sound: an empty and a full tank propose what a tape would measure", "[e2e]") {
  SoundBench bench;
  bench.module.set_word(4, 0, 2913);
  Gateway::Ended ended;
  REQUIRE(eventually(
      [&] {
        ended = bench.sound({"--for", "2 s", "--empty"});
        return ended.code == 0;
      },
      support::Bound{60'000}));
  CHECK(ended.out.find("tanks:\n  header:\n    to_floor: 2.913 m   # median of ") != std::string::npos);
  bench.module.set_word(4, 0, 412);
  CHECK(bench.sound({"--for", "2 s", "--full"}).out.find("    to_full: 0.412 m   # median of ") !=
        std::string::npos);
  bench.module.set_word(4, 0, 212);  // nearer than it can see
  const auto blind = bench.sound({"--for", "2 s", "--full", "--json"});
  CHECK(blind.code == 1);
  CHECK(gauge_in(blind, 0)["proposal"]["value_m"].is_null());
}

TEST_CASE("sound: water that moves proposes nothing and says why", "[e2e]") {
  SoundBench bench;
  std::uint16_t distance = 2000;
  bench.peer.follow([&](const support::Bytes& request) {
    bench.module.set_word(4, 0, distance++);
    return bench.module.serve(request);
  });
  const auto ended = bench.sound({"--for", "3 s", "--empty"});
  CHECK(ended.code == 1);
  CHECK(ended.out.find("No to_floor is proposed:") != std::string::npos);
  CHECK(ended.out.find("during the run") != std::string::npos);
  CHECK(ended.out.find("drift +") != std::string::npos);
}

TEST_CASE("sound: what cannot be done says why, each with its exit code", "[e2e]") {
  SoundBench bench;
  CHECK(bench.sound({"--for", "3 kg"}).code == 2);
  CHECK(bench.sound({"--for", "2 h"}).code == 2);
  CHECK(bench.sound({"--empty", "--full"}).code == 2);
  CHECK(bench.sound({"header-top"}).err.find("named twice") != std::string::npos);
  const auto unknown = bench.sound({"header-tpo"});
  CHECK(unknown.code == 2);
  CHECK(unknown.err.find("did you mean 'header-top'?") != std::string::npos);
  support::write_file(bench.directory.file("site.yaml"), site_on("/nowhere/ttyUSB0"));
  const auto unplugged = bench.sound({"--for", "20 s"});
  CHECK(unplugged.code == 3);
  CHECK(unplugged.err.find("is it plugged in?") != std::string::npos);
}
