// The real daemon with sensors that are not plain registers of a serial line: a current loop behind an
// analogue module on a pty, and stations behind a gateway, which is a Modbus server that is not ours.

#include <csignal>

#include "support/catch.hpp"
#include "support/modbus_module.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"
#include <nlohmann/json.hpp>

using support::eventually;

namespace {

/// The daemon with a configuration of its own.
class Daemon {
 public:
  explicit Daemon(const std::string& yaml) {
    support::write_file(directory_.file("stillwell.yaml"), yaml);
    run_ = std::make_unique<support::Process>(with({"run", "--socket", directory_.file("socket")}));
    const bool runs = run_->wait_line("is running").has_value();
    INFO(run_->err());
    REQUIRE(runs);
  }

  [[nodiscard]] support::Process& process() { return *run_; }

  /// A subcommand with this daemon's configuration and state.
  [[nodiscard]] std::vector<std::string> with(std::vector<std::string> words) const {
    words.insert(words.begin(), support::binary_dir() + "/stillwell");
    words.insert(words.end(),
                 {"--config", directory_.file("stillwell.yaml"), "--state", directory_.file("state")});
    return words;
  }

  /// `status --json` at a path; null when there is nothing.
  [[nodiscard]] nlohmann::json status(const std::string& pointer) const {
    support::Process process{
        {support::binary_dir() + "/stillwell", "status", "--json", "--socket", directory_.file("socket")}};
    process.wait_exit();
    const auto json = nlohmann::json::parse(process.out(), nullptr, false);
    const nlohmann::json::json_pointer path{pointer};
    return !json.is_discarded() && json.contains(path) ? json[path] : nlohmann::json{};
  }
  [[nodiscard]] bool becomes(const std::string& pointer, const nlohmann::json& wanted) const {
    return eventually([&] { return status(pointer) == wanted; });
  }

 private:
  support::TemporaryDirectory directory_;
  std::unique_ptr<support::Process> run_;
};

constexpr int kModule = 6;
constexpr int kChannel = 7;

std::string loop_on(const std::string& port) {
  return R"(site: { id: orchard, scan: 200 ms }
lines:
  shed: { port: )" +
         port + R"(, speed: 115200 8N1, carries: modbus }
gauges:
  header-level:
    line: shed
    station: 6
    depth: { table: input, address: 7, as: u16, scale: [[819, 0 m], [4095, 5 m]], fault_below: 740, fault_above: 4150 }
    every: 200 ms
    stale_after: 1 s
tanks:
  header:
    gauge: header-level
    full: 2.45 m
    holds: { capacity: 5000 L }
)";
}

constexpr int kStation = 7;

std::string behind_gateway(const std::string& port) {
  return R"(site: { id: orchard, scan: 200 ms }
lines:
  hill: { tcp: '127.0.0.1:)" +
         port + R"(', carries: modbus, timeout: 500 ms }
gauges:
  header-top:
    line: hill
    station: 7
    distance: { table: input, address: 0, as: u16, unit: mm }
    every: 200 ms
    stale_after: 5 s
  sump-top:
    line: hill
    station: 8
    distance: { table: input, address: 0, as: u16, unit: mm }
switches:
  spring-float: { line: hill, station: 7, table: discrete, address: 3, active: low, broken: on, every: 200 ms, stale_after: 5 s }
contacts:
  lift-contact: { line: hill, station: 7, coil: 2, fails_off: wired, every: 200 ms }
tanks:
  header: { gauge: header-top, to_floor: 2.85 m, to_full: 40 cm, holds: { capacity: 5000 L } }
  sump: { gauge: sump-top, to_floor: 1.6 m, to_full: 40 cm, holds: { capacity: 600 L } }
pumps:
  lift:
    duty: fill
    tank: header
    from: unwatched
    source_float: spring-float
    start_at: 45 %
    stop_at: 92 %
    contact: lift-contact
    limits: { off_at_least: 1 s, starts_per_hour: 0, after_power_up: 0 s }
)";
}

/// The server behind the daemon's gateway line.
struct Gateway {
  Gateway() {
    const auto line = server.wait_line("ready ");
    INFO(server.err());
    REQUIRE(line.has_value());
    port = line->substr(line->find(' ') + 1);
  }
  support::Process server{{"/usr/bin/python3", support::source_dir() + "/tests/support/pymodbus_server.py",
                           "tcp", std::to_string(kStation)}};
  std::string port;
};

}  // namespace

TEST_CASE("sensors: a current loop is a level, and a broken one is no answer until it is mended", "[e2e]") {
  support::ModbusModule module{kModule};
  support::PtyPeer peer{[&](const support::Bytes& request) { return module.serve(request); }};
  module.set_word(4, kChannel, 1638);
  Daemon daemon{loop_on(peer.path())};
  REQUIRE(daemon.becomes("/tanks/0/quality", "good"));
  CHECK(daemon.status("/tanks/0/level_m").get<double>() == Approx(1.25).margin(0.001));

  module.set_word(4, kChannel, 0);  // the wire breaks: no current
  CHECK(daemon.becomes("/tanks/0/reason", "no-answer"));
  CHECK(daemon.status("/tanks/0/quality") == "bad");

  module.set_word(4, kChannel, 1638);
  CHECK(daemon.becomes("/tanks/0/quality", "good"));
  module.set_word(4, kChannel, 4095 + 100);  // the transmitter says that it has failed
  CHECK(daemon.becomes("/tanks/0/reason", "no-answer"));
}

TEST_CASE("sensors: behind a gateway a level is read, a pump driven, and its contact released",
          "[e2e][rule-11]") {
  Gateway gateway;
  Daemon daemon{behind_gateway(gateway.port)};
  REQUIRE(gateway.server.wait_line("coil 2 off"));  // the first thing that was done
  REQUIRE(daemon.becomes("/tanks/0/quality", "good"));
  CHECK(daemon.status("/tanks/0/level_m").get<double>() == Approx(0.897));
  // Behind it nobody is station 8, and the gateway says nothing: that costs its own tank and nothing else.
  CHECK(daemon.becomes("/tanks/1/reason", "no-answer"));
  REQUIRE(gateway.server.wait_line("coil 2 on"));
  CHECK(daemon.becomes("/pumps/0/contact", "on"));
  CHECK(daemon.status("/tanks/0/quality") == "good");

  daemon.process().signal(SIGKILL);
  REQUIRE(daemon.process().wait_exit());
  support::Process release{daemon.with({"release"})};
  CHECK(release.wait_exit() == 0);
  INFO(release.err());
  CHECK(release.out().find("confirmed off") != std::string::npos);
  const std::string told = gateway.server.out();
  CHECK(told.rfind("coil 2 off") > told.rfind("coil 2 on"));
}

TEST_CASE("sensors: when the gateway is gone nothing is known and the pump counts as unreachable", "[e2e]") {
  auto gateway = std::make_unique<Gateway>();
  Daemon daemon{behind_gateway(gateway->port)};
  REQUIRE(daemon.becomes("/pumps/0/contact", "on"));
  gateway.reset();
  CHECK(daemon.becomes("/pumps/0/contact", "unknown"));
  CHECK(daemon.becomes("/tanks/0/quality", "bad"));
  CHECK(daemon.becomes("/pumps/0/state", "tripped"));
}
