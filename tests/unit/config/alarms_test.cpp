// What the loader makes of alarms: of tanks by rate, of pumps, contacts, lines and the gateway.

#include <algorithm>
#include <chrono>

#include "support/bench_csv.hpp"
#include "support/config_broken.hpp"
#include "support/config_whole.hpp"

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;
using support::base_with;
using support::expect_refused;
using support::whole;

namespace {

constexpr double kMmPerMin = 1e-3 / 60.0;

Alarm alarm_of(const Model& model, const std::string& id) {
  const auto found = std::find_if(model.alarms.begin(), model.alarms.end(),
                                  [&](const Alarm& alarm) { return alarm.id == id; });
  if (found == model.alarms.end()) throw std::runtime_error("no alarm is named " + id);
  return *found;
}

Alarm base_alarm(const std::string& id) {
  return alarm_of(whole(support::kConfigBase).model, id);
}

/// The figure of a row of the published practice.
double practice(const std::string& section, const std::string& item) {
  const support::Csv table{"09_alarm_practice.csv"};
  for (std::size_t row = 0; row < table.size(); ++row) {
    if (table.at(row, "section") == section && table.at(row, "item") == item)
      return std::stod(table.at(row, "value"));
  }
  throw std::runtime_error("no such row: " + section + ", " + item);
}

}  // namespace

TEST_CASE("alarms: the starting values of a level alarm lie within what is published",
          "[config][alarms][published]") {
  const Model model = whole(support::kConfigBase).model;
  const Alarm low = alarm_of(model, "header/low");
  const double deadband = 100.0 * (low.clears_at - low.at).value() / model.tanks[0].full().value();
  CHECK(deadband >= practice("deadband: EEMUA 191 as quoted", "level"));
  CHECK(deadband == Approx(practice("deadband: ISA-18.2 as recalled", "level")));
  CHECK(seconds_of(low.after) == practice("on/off delay: ISA-18.2 as recalled", "level"));
}

TEST_CASE("alarms: of a pump, a contact, a line and the gateway take what is written", "[config][alarms]") {
  struct Case {
    const char *from, *to, *id;
    AlarmSubject of;
  };
  const std::string settings = "{ after: 45 s, clear_after: 7 s, priority: low, latch: true }";
  const std::string tripped = "    alarms: { tripped: " + settings + " }\n    dry_run:";
  const std::string contact = "fails_off: wired, alarms: { contact-unreachable: " + settings + " } }";
  const std::string line = "carries: range-frames, alarms: { line-down: " + settings + " } }";
  const std::string site = "id: orchard, alarms: { clock: " + settings + " } }";
  for (const Case& it :
       {Case{"    dry_run:", tripped.c_str(), "lift/tripped", PumpIndex{0}},
        Case{"fails_off: wired }", contact.c_str(), "lift-contact/contact-unreachable", ContactIndex{0}},
        Case{"carries: range-frames }", line.c_str(), "mast/line-down", LineIndex{1}},
        Case{"id: orchard }", site.c_str(), "orchard/clock", Gateway{}}}) {
    INFO(it.id);
    const Alarm alarm = alarm_of(whole(base_with(it.from, it.to)).model, it.id);
    CHECK(alarm.of == it.of);
    CHECK(alarm.after == 45s);
    CHECK(alarm.clear_after == 7s);
    CHECK(alarm.priority == Priority::low);
    CHECK(alarm.latch);
    const Alarm usual = base_alarm(it.id);
    CHECK(usual.of == it.of);
    CHECK_FALSE(usual.latch);
    CHECK(usual.after != alarm.after);
  }
}

TEST_CASE("alarms: what may kill waits for nothing, and a lost state stays until a person",
          "[config][alarms]") {
  const Model model = whole(support::kConfigBase).model;
  for (const std::string id : {"lift/stuck-on", "lift/locked-out", "orchard/state-file"}) {
    INFO(id);
    CHECK(alarm_of(model, id).after == 0s);
    CHECK(alarm_of(model, id).priority == Priority::high);
  }
  CHECK(alarm_of(model, "orchard/state-file").latch);
}

TEST_CASE("alarms: a rate clears a fifth below its limit, or by its own deadband", "[config][alarms]") {
  for (const std::string kind : {"falling", "rising"}) {
    const auto with = [&](const std::string& rules) {
      return alarm_of(whole(base_with("low: { at: 15 % }", kind + ": " + rules)).model, "header/" + kind);
    };
    const Alarm usual = with("{ faster_than: 20 mm/min }");
    CHECK(usual.faster_than.value() == Approx(20 * kMmPerMin));
    CHECK(usual.clears_below.value() == Approx(16 * kMmPerMin));
    CHECK(with("{ faster_than: 20 mm/min, deadband: 15 mm/min }").clears_below.value() ==
          Approx(5 * kMmPerMin));
  }
}

TEST_CASE("alarms: one that could never clear, or never rise, is refused", "[config][alarms][errors]") {
  expect_refused({
      {"{ at: 15 % }", "{ at: 15 % }\n      falling: { faster_than: 20 mm/min, deadband: 20 mm/min }", 37, 52,
       "tanks.header.alarms.falling.deadband", "could never clear: expected less than 20.0 mm/min"},
      {"{ at: 15 % }", "{ at: 15 % }\n      rising: { faster_than: 20 mm/min, deadband: 5 % }", 37, 51,
       "tanks.header.alarms.rising.deadband", "'%' is not a unit for this; expected mm/min"},
      {"{ at: 15 % }", "{ at: 15 % }\n      falling: { faster_than: -20 mm/min }", 37, 31,
       "tanks.header.alarms.falling.faster_than", "expected"},
      {"{ at: 15 % }", "{ at: 15 % }\n      disagree: { after: 5 s }", 37, 17, "tanks.header.alarms.disagree",
       "expected `gauges` with two or more"},
      {"    stop_at: 15 %", "    alarms: { stuck-on: { after: 1 s } }\n    stop_at: 15 %", 62, 25,
       "pumps.drain.alarms.stuck-on", "expected `feedback`"},
      {"    stop_at: 15 %", "    alarms: { no-feedback: {} }\n    stop_at: 15 %", 62, 28,
       "pumps.drain.alarms.no-feedback", "expected `feedback`"},
      {"{ at: 15 % }", "{ at: 15 %, clear_after: 25 h }", 36, 37, "tanks.header.alarms.low.clear_after",
       "24 h"},
  });
}
