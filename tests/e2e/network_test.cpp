// Commands over the network, all the way: mosquitto_pub, a real broker, the real daemon, its relays on a pty.

#include <csignal>
#include <string>

#include "support/catch.hpp"
#include "support/gateway.hpp"

using support::eventually;
using support::Gateway;

namespace {

const std::string kLift = "/pumps/0/";
const std::string kMode = "homie/5/orchard-lift/pump/mode/set";

const Gateway::Edits kAccepts{
    {"  url: mqtt://127.0.0.1:18830\n",
     "  url: mqtt://127.0.0.1:18830\n  accept: [acknowledge, silence, reset, mode]\n"}};

void run_lift(Gateway& gateway) {
  REQUIRE(eventually([&] { return gateway.broker().retained("homie/5/orchard/$state") == "ready"; }));
  gateway.order("set cistern 80 %");
  gateway.order("set header 30 %");
  REQUIRE(gateway.status_becomes(kLift + "state", "running"));
}

}  // namespace

TEST_CASE("network: off that is sent stops the lift, and auto that is sent lets it start",
          "[e2e][commands][rule-15]") {
  Gateway gateway{Gateway::With::broker, kAccepts};
  run_lift(gateway);
  gateway.broker().publish(kMode, {"-m", "off"});
  CHECK(gateway.orchard().wait_line("contact lift-contact off"));
  CHECK(eventually([&] { return gateway.broker().retained("homie/5/orchard-lift/pump/mode") == "off"; }));
  CHECK(gateway.journal_tells({R"("kind":"command","of":"lift","cause":"mode")", "over MQTT"}));
  CHECK(eventually([&] {
    gateway.broker().publish(kMode, {"-m", "auto"});  // the first one may be less than a second after off
    return gateway.status(kLift + "mode") == "auto";
  }));
  CHECK(gateway.status_becomes(kLift + "state", "running"));
}

TEST_CASE("network: a lift that was switched off on the spot stays off, also over a restart",
          "[e2e][commands][rule-15]") {
  Gateway gateway{Gateway::With::broker, kAccepts};
  run_lift(gateway);
  REQUIRE(gateway.command({"mode", "lift", "off"}).code == 0);
  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit() == 0);
  gateway.start_daemon();
  REQUIRE(eventually([&] { return gateway.broker().retained("homie/5/orchard/$state") == "ready"; }));
  gateway.broker().publish(kMode, {"-m", "auto"});
  CHECK(gateway.journal_tells({R"("of":"lift","cause":"mode")", "refused: ", "on the spot", "over MQTT"}));
  CHECK(gateway.status(kLift + "mode") == "off");
}

TEST_CASE("network: a thousand commands at once reach neither the scan nor the journal", "[e2e][commands]") {
  Gateway gateway{Gateway::With::broker, kAccepts};
  run_lift(gateway);
  const std::size_t lines = gateway.journal({"seq"}).size();
  std::string thousand;
  for (int i = 0; i < 1000; ++i)
    thousand += "nonsense\n";
  gateway.broker().publish(kMode, {"-l"}, thousand);
  REQUIRE(gateway.journal_tells(
      {R"("cause":"mode")", "refused: ", "expected auto, hand or off, found 'nonsense'"}));
  CHECK(gateway.command({"mode", "bore", "off"}).code == 0);  // a person is still heard
  CHECK(gateway.status(kLift + "state") == "running");
  const std::string scans = gateway.status("/scan/scans");
  CHECK(eventually([&] { return gateway.status("/scan/scans") != scans; }));
  CHECK(gateway.journal({"seq"}).size() < lines + 10);
}

TEST_CASE("network: a horn is silenced, and the alarm stands", "[e2e][commands][horn]") {
  Gateway gateway{Gateway::With::broker, kAccepts};
  REQUIRE(eventually([&] { return gateway.broker().retained("homie/5/orchard/$state") == "ready"; }));
  gateway.order("set bore-well 20 %");
  REQUIRE(gateway.orchard().wait_line("contact yard-horn on"));
  gateway.broker().publish("homie/5/orchard/alarms/silence/set", {"-m", "true"});
  CHECK(gateway.orchard().wait_line("contact yard-horn off"));
  CHECK(gateway.journal_tells({R"("kind":"command","of":"all","cause":"silence")", "over MQTT"}));
  CHECK(gateway.status_becomes("/annunciators/0/silenced", "true"));
}
