// First-out among alarms: what brought what, read from what stands.

#include "stillwell/site/consequences.hpp"

#include <chrono>

#include "support/bench_alarms.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

/// The id of the alarm that brought it; empty when it came first.
std::string root_of(const SiteBench& bench, const std::string& alarm) {
  const auto root = bench.last.view.alarms.at(bench.place_of(alarm)).brought_by;
  return root ? bench.model.alarms[*root].id : "";
}

bool stands(const SiteBench& bench, const std::string& alarm) {
  return bench.memory.alarms.at(bench.place_of(alarm)).active;
}

std::string text_of(const SiteBench& bench, const std::string& alarm) {
  const auto told = bench.told(EventKind::alarm, alarm);
  return told.empty() ? "" : told.front().text;
}

/// Without the cistern's low alarm a dry lift is the first that is known.
Model without_cistern_low() {
  Model model = support::alarmed_orchard();
  std::erase_if(model.alarms, [](const Alarm& alarm) { return alarm.id == "cistern/low"; });
  return model;
}

}  // namespace

TEST_CASE("consequences: a cut line brings unwell, contact-unreachable and tripped: one root",
          "[site][consequences]") {
  SiteBench bench = support::alarmed_lifting();
  bench.image.readings.lines[0].open = false;
  bench.silent = {true, true};
  bench.deaf = {true, true};
  bench.scan_for(2min);
  for (const std::string alarm : {"cistern/unwell", "lift-contact/contact-unreachable",
                                  "bore-contact/contact-unreachable", "lift/tripped"}) {
    INFO(alarm);
    REQUIRE(stands(bench, alarm));
    CHECK(root_of(bench, alarm) == "shed/line-down");
    CHECK(text_of(bench, alarm).find("A consequence of shed/line-down.") != std::string::npos);
  }
  CHECK(root_of(bench, "shed/line-down").empty());
  CHECK(text_of(bench, "shed/line-down").find("consequence") == std::string::npos);
}

TEST_CASE("consequences: a header that runs low after its pump tripped names the trip",
          "[site][consequences]") {
  SiteBench bench = support::alarmed_lifting(without_cistern_low());
  bench.levels[1] = 0.29;
  bench.scan_for(1min);
  REQUIRE(stands(bench, "lift/tripped"));
  bench.levels[0] = 0.30;
  bench.scan_for(2min);
  REQUIRE(stands(bench, "header/low"));
  CHECK(root_of(bench, "header/low") == "lift/tripped");
}

TEST_CASE("consequences: the chain is followed to its first link", "[site][consequences]") {
  SiteBench bench = support::alarmed_lifting();
  bench.levels[1] = 0.29;  // at once below its own set point and the lift's limit
  bench.scan_for(2min);
  bench.levels[0] = 0.30;
  bench.scan_for(2min);
  REQUIRE(stands(bench, "cistern/low"));
  CHECK(root_of(bench, "lift/tripped") == "cistern/low");
  CHECK(root_of(bench, "header/low") == "cistern/low");
}

TEST_CASE("consequences: a header that was low before the trip is none of its consequences",
          "[site][consequences]") {
  SiteBench bench = support::alarmed_site(without_cistern_low());
  bench.levels = {0.30, 1.5};
  bench.scan_for(90s);  // it is low, and the lift runs
  REQUIRE(stands(bench, "header/low"));
  REQUIRE(bench.on(0));
  bench.levels[1] = 0.29;
  bench.scan_for(1min);
  REQUIRE(stands(bench, "lift/tripped"));
  CHECK(root_of(bench, "header/low").empty());
  CHECK(root_of(bench, "lift/tripped").empty());
}

TEST_CASE("consequences: what has ended brings nothing", "[site][consequences]") {
  SiteBench bench = support::alarmed_lifting(without_cistern_low());
  bench.levels[1] = 0.29;
  bench.scan_for(1min);
  bench.levels[0] = 0.30;
  bench.scan_for(2min);
  REQUIRE(root_of(bench, "header/low") == "lift/tripped");
  bench.levels[1] = 1.5;
  bench.scan_for(2s);
  REQUIRE_FALSE(stands(bench, "lift/tripped"));
  CHECK(root_of(bench, "header/low").empty());
}

TEST_CASE("consequences: a restart changes nothing", "[site][consequences]") {
  for (const bool known : {false, true}) {
    SiteBench bench = support::alarmed_lifting();
    bench.image.readings.lines[0].open = false;
    bench.silent = {true, true};
    bench.deaf = {true, true};
    bench.scan_for(2min);
    bench.restart(1min, known);
    bench.scan_for(10s);
    INFO(known);
    for (const std::string alarm : {"cistern/unwell", "lift-contact/contact-unreachable"}) {
      REQUIRE(stands(bench, alarm));
      CHECK(root_of(bench, alarm) == "shed/line-down");
    }
  }
}

TEST_CASE("consequences: a trip names what it was for", "[site][consequences]") {
  SiteBench bench = support::alarmed_lifting();
  bench.levels[1] = 0.31;  // low soon, but no reason to trip
  bench.motors[0] = false;
  bench.scan_for(6s);
  CHECK(text_of(bench, "lift/tripped").find("A consequence of lift/no-feedback.") != std::string::npos);
}

TEST_CASE("consequences: two pumps that feed each other end, and name another than themselves",
          "[site][consequences]") {
  Model model = support::alarmed_orchard();
  model.pumps[1].source = TankIndex{0};  // the bore now draws from the header that the lift fills
  Memory memory = remember_nothing(model);
  for (PumpMemory& pump : memory.pumps) {
    pump.tripped = true;
    pump.first_out = Cause::source_low;
  }
  const Instant now{1h};
  std::size_t standing = 0;
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    const AlarmKind kind = model.alarms[at].kind;
    if (kind != AlarmKind::low && kind != AlarmKind::tripped) continue;
    memory.alarms[at].active = true;
    memory.alarms[at].began = now;
    ++standing;
  }
  REQUIRE(standing == 4);
  for (std::size_t at = 0; at < model.alarms.size(); ++at) {
    if (!memory.alarms[at].active) continue;
    const auto root = brought_by(model, memory, at);
    INFO(model.alarms[at].id);
    REQUIRE(root.has_value());
    CHECK(*root != at);
    CHECK(memory.alarms[*root].active);
  }
}
