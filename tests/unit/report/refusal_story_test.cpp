#include "stillwell/report/refusal_story.hpp"

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

Refusal retained(const std::string& topic = "t/mode/set") {
  return {.why = Why::retained, .topic = topic, .of = "lift", .verb = "mode", .text = "it is retained"};
}

}  // namespace

TEST_CASE("refusals: the first of a kind is told in full", "[report][commands]") {
  RefusalStory story{"orchard"};
  const auto events = story.refused(retained(), Incoming::Time{1h});
  REQUIRE(events.size() == 1);
  CHECK(events[0].kind == EventKind::command);
  CHECK(events[0].of == "lift");
  CHECK(events[0].cause == "mode");
  CHECK(events[0].text == "refused: t/mode/set: it is retained (over MQTT).");
}

TEST_CASE("refusals: a thousand of a kind are two events, and the second has the count",
          "[report][commands]") {
  RefusalStory story{"orchard"};
  Incoming::Time now{1h};
  std::vector<Event> all;
  for (int i = 0; i < 1000; ++i, now += 10ms)
    for (auto& event : story.refused(retained(), now))
      all.push_back(event);
  REQUIRE(all.size() == 1);
  CHECK(story.look(Incoming::Time{1h} + 59s).empty());
  const auto counts = story.look(Incoming::Time{1h} + 60s);
  REQUIRE(counts.size() == 1);
  CHECK(counts[0].text ==
        "refused: 999 more within a minute, the last one at t/mode/set: it is retained (over MQTT).");
  CHECK_FALSE(story.is_counting());
  CHECK(story.look(now + 1h).empty());
}

TEST_CASE("refusals: each kind is told by itself, and told anew after its minute", "[report][commands]") {
  RefusalStory story{"orchard"};
  const Incoming::Time now{1h};
  CHECK(story.refused(retained(), now).size() == 1);
  CHECK(story.refused({.why = Why::empty, .topic = "t", .verb = "mode", .text = "it is empty"}, now).size() ==
        1);
  CHECK(story.refused(retained(), now + 1s).empty());
  const auto later = story.refused(retained(), now + 61s);
  REQUIRE(later.size() == 2);  // the count of the last minute, and the first of this one
  CHECK(later[0].text.find("1 more within a minute") != std::string::npos);
}

TEST_CASE("refusals: an event always has somebody it is of, and a cause", "[report][commands]") {
  RefusalStory story{"orchard"};
  const auto events = story.refused({.why = Why::overrun, .topic = "t", .text = "too many came at once"},
                                    Incoming::Time{1h}, 7);
  REQUIRE(events.size() == 1);
  CHECK(events[0].of == "orchard");
  CHECK_FALSE(events[0].cause.empty());
  CHECK(story.look(Incoming::Time{2h})[0].text.find("6 more") != std::string::npos);
}
