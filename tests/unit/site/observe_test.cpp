// Rule 18: a daemon that observes solves the rules, holds every contact off, and tells what it would do.

#include "stillwell/site/observe.hpp"

#include <algorithm>
#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

SiteBench observing() {
  SiteBench bench{to_observe(support::working_orchard())};
  bench.image.observing = true;
  return bench;
}

bool says(const std::vector<Event>& events, const std::string& words) {
  return std::any_of(events.begin(), events.end(),
                     [&](const Event& one) { return one.text.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("observe: a pump would start and would stop, and its contact is off all the while",
          "[site][observe][rule-18]") {
  SiteBench bench = observing();
  bench.levels = {0.9, 1.5};
  for (int second = 0; second < 120; ++second) {
    bench.scan();
    CHECK_FALSE(bench.on(0));
    CHECK_FALSE(bench.on(1));
  }
  CHECK(bench.last.view.pumps[0].order == Order::on);
  CHECK(says(bench.told(EventKind::start, "lift"), "would start"));
  bench.levels = {1.95, 1.5};
  bench.scan_for(10s);
  CHECK(bench.last.view.pumps[0].order == Order::off);
  CHECK(says(bench.told(EventKind::stop, "lift"), "would stop"));
  CHECK(bench.told(EventKind::trip, "lift").empty());
}

TEST_CASE("observe: a suction that runs low would stop the pump", "[site][observe][rule-18]") {
  SiteBench bench = observing();
  bench.levels = {0.9, 1.5};
  bench.scan_for(60s);
  bench.levels = {0.9, 0.2};
  bench.scan_for(10s);
  CHECK(says(bench.told(EventKind::trip, "lift"), "would stop"));
  CHECK(bench.last.view.pumps[0].first_out == Cause::source_low);
}

TEST_CASE("observe: no proof is run by a daemon that switches nothing", "[site][observe][rule-18]") {
  SiteBench bench = observing();
  bench.scan_for(10s);
  CHECK_FALSE(bench.command(CommandKind::prove, "lift", "begin").done);
}
