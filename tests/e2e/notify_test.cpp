// A site without a broker whose owner is told by a script: the real daemon, the simulated orchard.
#include <csignal>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/script.hpp"

using support::eventually;
using support::Gateway;
using support::script;

namespace {

Gateway::Edits notify(const std::vector<std::string>& run, const std::string& priorities) {
  return {{"\nlines:\n", "\nnotify: { run: [" + run.at(0) + ", " + run.at(1) + "], for: [" + priorities +
                             "] }\n\nlines:\n"}};
}

}  // namespace

TEST_CASE("notify: the owner's script gets the line of the low alarm and nothing else", "[e2e][notify]") {
  const support::TemporaryDirectory directory;
  Gateway gateway{Gateway::With::no_broker, notify(script(directory, "cat >>\"$1/told\""), "medium, high")};
  const auto told = [&] { return support::read_file(directory.file("told")); };
  gateway.order("set cistern 18 %");
  REQUIRE(gateway.journal_tells({R"("of":"cistern/low","cause":"unacknowledged","priority":"medium")"}));
  const std::string line = gateway.journal({R"("of":"cistern/low","cause":"unacknowledged")"}).front();
  CHECK(eventually([&] { return told() == line + "\n"; }));
  CHECK(gateway.command({"acknowledge", "cistern/low"}).code == 0);
  gateway.order("set cistern 60 %");
  REQUIRE(gateway.journal_tells({R"("of":"cistern/low","cause":"normal")"}));
  CHECK(told() == line + "\n");
}

TEST_CASE("notify: a script that hangs delays no scan and no end, and outlives neither", "[e2e][notify]") {
  const support::TemporaryDirectory directory;
  const auto hangs = script(directory, "trap '' TERM\necho $$ >\"$1/pid\"\nwhile :; do sleep 1; done");
  Gateway gateway{Gateway::With::no_broker, notify(hangs, "medium")};
  const std::string missed = gateway.status("/scan/missed");
  REQUIRE_FALSE(missed.empty());
  gateway.order("set cistern 18 %");
  const auto pid = [&] { return support::read_file(directory.file("pid")); };
  REQUIRE(eventually([&] { return pid().ends_with('\n'); }));
  gateway.order("set cistern 80 %");
  gateway.order("set header 30 %");
  CHECK(gateway.status_becomes("/pumps/0/state", "running"));
  gateway.order("set header 85 %");
  CHECK(gateway.status_becomes("/pumps/0/state", "stopped"));
  CHECK(gateway.status("/scan/missed") == missed);
  gateway.daemon().signal(SIGTERM);
  CHECK(gateway.daemon().wait_exit() == 0);
  CHECK(eventually([&] { return !support::is_running(pid().substr(0, pid().size() - 1)); }));
}
