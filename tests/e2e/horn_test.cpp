// The horn in the yard on real bytes: an alarm sounds it, its button silences it, the next alarm sounds it
// again, and the return of both ends it; no pump moves for any of that.

#include <sstream>

#include "support/catch.hpp"
#include "support/gateway.hpp"

using support::Gateway;

namespace {

const std::string kYard = "/annunciators/0/";

/// How often a contact closed or opened, as the simulated module saw it.
std::ptrdiff_t moves(Gateway& gateway, const std::string& what) {
  const std::string out = gateway.orchard().out();
  std::istringstream lines{out};
  std::ptrdiff_t count = 0;
  for (std::string line; std::getline(lines, line);)
    count += line.starts_with("contact " + what) ? 1 : 0;
  return count;
}

bool horn_moved(Gateway& gateway, const std::string& to, std::ptrdiff_t times) {
  return support::eventually([&] { return moves(gateway, "yard-horn " + to) == times; });
}

}  // namespace

TEST_CASE("horn: an alarm sounds it, the button silences it, a new alarm sounds it, the return ends it",
          "[e2e][horn]") {
  Gateway gateway;
  REQUIRE(gateway.status_becomes(kYard + "contact", "off"));
  gateway.order("set bore-well 20 %");
  CHECK(horn_moved(gateway, "on", 1));
  CHECK(gateway.status_becomes(kYard + "sounding", "true"));
  CHECK(gateway.status_becomes(kYard + "contact", "on"));
  CHECK(support::eventually(
      [&] { return gateway.broker().retained("homie/5/orchard/alarms/horn-sounding") == "true"; }));

  gateway.order("press yard-button for 10 s");  // longer than any hurry of this machine
  CHECK(horn_moved(gateway, "off", 1));
  CHECK(gateway.status_becomes(kYard + "silenced", "true"));
  CHECK(gateway.journal_tells({R"("kind":"alarm","of":"yard","cause":"silenced")", "by its switch"}));

  gateway.order("set header 98.5 %");
  CHECK(horn_moved(gateway, "on", 2));

  gateway.order("set bore-well 80 %");
  gateway.order("set header 60 %");
  CHECK(horn_moved(gateway, "off", 2));
  CHECK(gateway.journal_tells({R"("kind":"alarm","of":"yard","cause":"quiet")"}));
  CHECK(gateway.status(kYard + "silenced") == "false");
  CHECK(moves(gateway, "") == moves(gateway, "yard-horn"));  // of the pumps' contacts none
}

TEST_CASE("horn: silence, and a test that ends by itself, over the local socket", "[e2e][horn][commands]") {
  Gateway gateway{Gateway::With::no_broker};
  CHECK(gateway.command({"silence"}).code == 4);
  CHECK(gateway.command({"sound-horn", "lift"}).code == 4);
  CHECK(gateway.command({"sound-horn"}).code == 0);
  CHECK(horn_moved(gateway, "on", 1));
  CHECK(horn_moved(gateway, "off", 1));
  CHECK(gateway.journal({R"("kind":"alarm","of":"yard","cause":"test")"}).size() == 1);

  gateway.order("set bore-well 20 %");
  CHECK(horn_moved(gateway, "on", 2));
  CHECK(gateway.command({"silence", "yard"}).code == 0);
  CHECK(horn_moved(gateway, "off", 2));
  CHECK(gateway.command({"sound-horn", "yard"}).code == 0);  // also when it is silenced
  CHECK(horn_moved(gateway, "on", 3));
  CHECK(horn_moved(gateway, "off", 3));
  CHECK(moves(gateway, "") == moves(gateway, "yard-horn"));
}

TEST_CASE("horn: one that does not follow is told, and is an alarm", "[e2e][horn][fault]") {
  Gateway gateway{Gateway::With::no_broker};
  gateway.order("fault yard-horn ignores-writes");
  gateway.order("set bore-well 20 %");
  CHECK(gateway.journal_tells({R"("kind":"alarm","of":"yard","cause":"contact-unreachable")"}));
  CHECK(gateway.journal({R"("kind":"alarm","of":"yard","cause":"contact-unreachable")"}).size() == 1);
  CHECK(gateway.status(kYard + "sounding") == "true");
  CHECK(gateway.status(kYard + "contact") != "on");
  CHECK(moves(gateway, "") == 0);
}
