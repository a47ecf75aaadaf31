// What a motor takes, on real bytes: the simulated meter, the real daemon, a real broker.

#include <csignal>
#include <cstdlib>

#include "support/catch.hpp"
#include "support/gateway.hpp"

using support::eventually;
using support::Gateway;

namespace {

const std::string kLift = "/pumps/0/";
const std::string kTopic = "homie/5/orchard-lift/pump/";

/// Hardly any flow, so that a run lasts as long as a test.
const Gateway::Edits kSlow{{"flow_rate: 300 L/min", "flow_rate: 1 L/min"}};

void run_lift(Gateway& gateway) {
  gateway.order("set cistern 80 %");
  gateway.order("set header 30 %");
  REQUIRE(gateway.status_becomes(kLift + "state", "running"));
}

double energy(const Gateway& gateway) {
  return std::strtod(gateway.status(kLift + "energy_kwh").c_str(), nullptr);
}

}  // namespace

TEST_CASE("meters: a dry run that neither gauge nor float shows is seen in the motor's power",
          "[e2e][meters][rule-8]") {
  Gateway gateway{Gateway::With::no_broker, kSlow};
  run_lift(gateway);
  CHECK(gateway.status_becomes(kLift + "power_w", "900.0"));
  gateway.order("fault cistern-top frozen");
  gateway.order("fault cistern-float frozen");
  gateway.order("set cistern 3 %");  // below the lift's intake
  CHECK(gateway.journal_tells({R"("kind":"trip","of":"lift","cause":"no-power")"}));
  CHECK(gateway.orchard().wait_line("contact lift-contact off"));
  CHECK(gateway.status(kLift + "first_out") == "no-power");
  CHECK(gateway.status_becomes(kLift + "power_w", "0.0"));
  // The cistern is believed full, and still nothing starts: the pump rests for its dry run.
  CHECK(gateway.status_becomes(kLift + "state", "tripped"));
  CHECK(gateway.status("/tanks/1/quality") == "good");
}

TEST_CASE("meters: load and energy reach the broker, and the energy outlives a restart",
          "[e2e][meters][accounts]") {
  Gateway gateway{Gateway::With::broker, kSlow};
  run_lift(gateway);
  CHECK(eventually([&] { return gateway.broker().retained(kTopic + "power") == "900"; }));
  CHECK(eventually([&] { return energy(gateway) >= 0.002; }));
  CHECK(gateway.broker().retained(kTopic + "energy").starts_with("0.0"));
  gateway.order("fault lift-power silence");
  CHECK(eventually([&] { return gateway.broker().retained(kTopic + "power").empty(); }));
  CHECK(gateway.status_becomes(kLift + "first_out", "meter-unknown"));
  CHECK(gateway.status(kLift + "power_w") == "null");

  const double before = energy(gateway);
  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit() == 0);
  gateway.start_daemon();
  CHECK(before >= 0.002);
  CHECK(energy(gateway) == before);
}
