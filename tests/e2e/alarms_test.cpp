// Alarms as a person meets them: a line that is pulled out, an alarm put aside for an hour, a tank taken out
// of service; at the running daemon, over its socket, through a restart.

#include <csignal>

#include "support/catch.hpp"
#include "support/gateway.hpp"

using support::Gateway;

namespace {

/// The state of an alarm as status tells it; empty when there is none of this name.
std::string alarm(const Gateway& gateway, const std::string& id, const std::string& field = "state") {
  for (int at = 0;; ++at) {
    const std::string row = "/alarms/" + std::to_string(at) + "/";
    const std::string found = gateway.status(row + "id");
    if (found.empty()) return {};
    if (found == id) return gateway.status(row + field);
  }
}

bool alarm_becomes(const Gateway& gateway, const std::string& id, const std::string& state) {
  return support::eventually([&] { return alarm(gateway, id) == state; });
}

}  // namespace

TEST_CASE("alarms: a line that is pulled out is told first, and what it brings as its consequence",
          "[e2e][alarms]") {
  Gateway gateway{
      Gateway::With::broker,
      {{"speed: 19200 8N1, carries: modbus }",
        "speed: 19200 8N1, carries: modbus, alarms: { line-down: { after: 0 s, clear_after: 0 s } } }"}}};
  gateway.order("fault shed unplugged");
  CHECK(alarm_becomes(gateway, "shed/line-down", "unacknowledged"));
  CHECK(alarm_becomes(gateway, "lift-contact/contact-unreachable", "unacknowledged"));
  CHECK(alarm(gateway, "shed/line-down", "consequence_of") == "null");
  CHECK(alarm(gateway, "lift-contact/contact-unreachable", "consequence_of") == "shed/line-down");
  CHECK(gateway.journal_tells({R"("of":"lift-contact/contact-unreachable","cause":"unacknowledged")",
                               "A consequence of shed/line-down."}));
  CHECK(support::eventually([&] {
    return gateway.broker().retained("homie/5/orchard/$alert/line-down-shed").find("unacknowledged") !=
           std::string::npos;
  }));
  gateway.order("clear shed");
  CHECK(alarm_becomes(gateway, "shed/line-down", "returned-unacknowledged"));
  CHECK(gateway.command({"acknowledge", "shed/line-down"}).code == 0);
  CHECK(alarm_becomes(gateway, "shed/line-down", "normal"));
}

TEST_CASE("alarms: one that is shelved stays so through a restart, and comes back when it is asked to",
          "[e2e][alarms][rule-22]") {
  Gateway gateway{Gateway::With::no_broker};
  CHECK(gateway.command({"shelve", "cistern/low", "--for", "2 d", "--because", "cleaning"}).code == 4);
  CHECK(gateway.command({"shelve", "cistern/low", "--for", "1 h", "--because", "cleaning"}).code == 0);
  CHECK(alarm(gateway, "cistern/low") == "shelved");
  CHECK(alarm(gateway, "cistern/low", "because") == "cleaning");
  gateway.order("set cistern 18 %");

  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit() == 0);
  gateway.start_daemon();
  CHECK(alarm(gateway, "cistern/low") == "shelved");
  CHECK(alarm(gateway, "cistern/low", "because") == "cleaning");
  CHECK(gateway.journal({R"("of":"cistern/low","cause":"unacknowledged")"}).empty());

  CHECK(gateway.command({"unshelve", "cistern/low"}).code == 0);
  CHECK(alarm_becomes(gateway, "cistern/low", "unacknowledged"));
}

TEST_CASE("alarms: a tank out of service stops its pump, and its alarms are silent until it is back",
          "[e2e][alarms][rule-16]") {
  Gateway gateway{Gateway::With::no_broker};
  gateway.order("draw header 150 L/min");
  REQUIRE(gateway.orchard().wait_line("contact lift-contact on"));
  CHECK(gateway.command({"service", "header", "out"}).code == 0);
  CHECK(gateway.orchard().wait_line("contact lift-contact off"));
  CHECK(gateway.status_becomes("/pumps/0/state", "out-of-service"));
  CHECK(gateway.journal_tells({R"("kind":"stop","of":"lift","cause":"service-out")"}));
  CHECK(gateway.status_becomes("/tanks/0/reason", "out-of-service"));
  CHECK(alarm(gateway, "header/low") == "out-of-service");
  CHECK(gateway.command({"service", "header", "out"}).code == 4);
  CHECK(gateway.command({"service", "header", "in"}).code == 0);
  CHECK(gateway.status_becomes("/tanks/0/quality", "good"));
  CHECK(gateway.status_becomes("/pumps/0/state", "running"));
}
