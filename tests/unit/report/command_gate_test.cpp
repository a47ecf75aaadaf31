// The gate, row by row in its order: what a message must be before anybody asks the rules.
#include "stillwell/report/command_gate.hpp"

#include "stillwell/report/command_payload.hpp"

#include <map>
#include <string>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using config::Accept;

namespace {

const std::string kMode = "homie/5/orchard-lift/pump/mode/set";
const std::string kBoreMode = "homie/5/orchard-bore/pump/mode/set";
const std::string kReset = "homie/5/orchard-lift/pump/reset/set";
const std::string kAcknowledge = "homie/5/orchard/alarms/acknowledge/set";
const std::string kShelve = "homie/5/orchard/alarms/shelve/set";
const std::string kUnshelve = "homie/5/orchard/alarms/unshelve/set";
const std::string kAlarmReset = "homie/5/orchard/alarms/reset/set";

using Properties = std::vector<std::pair<std::string, std::string>>;

/// A gate of the orchard that accepts everything, and a clock of its own. Every message comes two seconds
/// after the one before.
const std::string kLongestAlarm = std::string(32, 'a') + "/" + std::string(31, 'b');

class Gate {
 public:
  Incoming::Time now{1h};
  std::optional<Stamp> wall = support::some_stamp();

  CommandGate::Judgement send(const std::string& topic, const std::string& payload,
                              const Properties& properties = {}, Duration later = 2s) {
    now += std::chrono::duration_cast<Incoming::Time::duration>(later);
    return judge({.topic = topic, .payload = payload, .properties = properties, .arrived = now});
  }
  CommandGate::Judgement judge(const Incoming& message) { return gate_.judge(message, now, wall); }

 private:
  CommandGate gate_{command_topics(support::orchard_model(),
                                   {Accept::acknowledge, Accept::shelve, Accept::reset, Accept::mode}),
                    {"header/low", "header/low-low", "header/high", kLongestAlarm}};
};

Refusal refused(const CommandGate::Judgement& judgement) {
  REQUIRE(std::holds_alternative<Refusal>(judgement));
  return std::get<Refusal>(judgement);
}
Why why(const CommandGate::Judgement& judgement) {
  return refused(judgement).why;
}
Command passed(const CommandGate::Judgement& judgement) {
  if (const auto* refusal = std::get_if<Refusal>(&judgement)) FAIL("refused: " << refusal->text);
  REQUIRE(std::holds_alternative<Command>(judgement));
  return std::get<Command>(judgement);
}
bool passes(const CommandGate::Judgement& judgement) {
  return std::holds_alternative<Command>(judgement);
}
bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("gate: what passes is the command that was meant, from the network", "[report][commands]") {
  Gate gate;
  const Command mode = passed(gate.send(kMode, "off"));
  CHECK(mode.kind == CommandKind::mode);
  CHECK(mode.target == "lift");
  CHECK(mode.argument == "off");
  CHECK(mode.origin == Origin::network);
  const Command reset = passed(gate.send(kReset, "true"));
  CHECK(reset.kind == CommandKind::reset);
  CHECK(reset.target == "lift");
  CHECK(reset.origin == Origin::network);
  const Command one = passed(gate.send(kAcknowledge, "header/low-low"));
  CHECK(one.kind == CommandKind::acknowledge);
  CHECK(one.target == "header/low-low");
  CHECK(passed(gate.send(kAcknowledge, "all")).target == "all");
  const Command latched = passed(gate.send(kAlarmReset, "header/high"));
  CHECK(latched.kind == CommandKind::reset);
  CHECK(latched.target == "header/high");
}

TEST_CASE("gate: a topic that is not known is refused, and nothing of it is believed", "[report][commands]") {
  Gate gate;
  for (const std::string topic :
       {"homie/5/orchard-lift/pump/mode", "homie/5/orchard-header/water/level/set",
        "homie/5/orchard-drain/pump/mode/set", "homie/5/orchard-lift/pump/state/set", ""}) {
    const Refusal refusal = refused(gate.send(topic, "off"));
    CHECK(refusal.why == Why::unknown_topic);
    CHECK(refusal.topic == "'" + topic + "'");
  }
  CHECK(refused(gate.send("\n\x1b[2J" + std::string(500, 'a'), "off")).topic.size() < 60);
}

TEST_CASE("gate: a retained command is refused whatever it says", "[report][commands]") {
  Gate gate;
  for (const std::string payload : {"auto", "off", "nonsense", "true"}) {
    const Refusal refusal =
        refused(gate.judge({.topic = kMode, .payload = payload, .retained = true, .arrived = gate.now}));
    CHECK(refusal.why == Why::retained);
    CHECK(refusal.topic == kMode);
    CHECK(refusal.of == "lift");
    CHECK(refusal.verb == "mode");
    CHECK(has(refusal.text, "without retain"));
  }
}

TEST_CASE("gate: a retained message that is deleted is nobody's command and nobody's fault",
          "[report][commands]") {
  Gate gate;
  CHECK(std::holds_alternative<std::monostate>(
      gate.judge({.topic = kMode, .payload = "", .retained = true, .arrived = gate.now})));
}

TEST_CASE("gate: empty and overlong payloads are refused", "[report][commands]") {
  Gate gate;
  CHECK(why(gate.send(kMode, "")) == Why::empty);
  CHECK(why(gate.send(kAcknowledge, std::string(65, 'a'))) == Why::too_long);
  CHECK(has(refused(gate.send(kAcknowledge, std::string(65, 'a'))).text, "64 bytes"));
  CHECK(why(gate.send(kAcknowledge, std::string(64, 'a'))) == Why::malformed);
  CHECK(passes(gate.send(kAcknowledge, kLongestAlarm)));
}

TEST_CASE("gate: there is one way to write each payload", "[report][commands]") {
  Gate gate;
  for (const std::string payload : {"AUTO", "auto ", " off", "\"off\"", "Hand", "on", "true", "of"}) {
    INFO(payload);
    CHECK(why(gate.send(kMode, payload)) == Why::malformed);
  }
  CHECK(why(gate.send(kMode, std::string("off\0", 4))) == Why::malformed);
  for (const std::string payload : {"True", "1", "yes", "false", "true\n"})
    CHECK(why(gate.send(kReset, payload)) == Why::malformed);
  for (const std::string payload : {"header", "lift", "/low", "header/", "header/low/x", "Header/low",
                                    "header/low ", "h\xC3\xA4/low", "../low"})
    CHECK(why(gate.send(kAcknowledge, payload)) == Why::malformed);
  CHECK(why(gate.send(kAlarmReset, "all")) == Why::malformed);
}

TEST_CASE("gate: no pump is reset as if it were an alarm", "[report][commands]") {
  Gate gate;
  CHECK(why(gate.send(kAlarmReset, "lift")) == Why::malformed);
}

TEST_CASE("gate: an alarm is put aside for a time and with a reason, and brought back",
          "[report][commands]") {
  Gate gate;
  const Command shelve = passed(gate.send(
      kShelve, R"({"alarm":"header/low","for":"2 h","because":"cleaning \"the\" tank, \u00e9t\u00e9"})"));
  CHECK(shelve.kind == CommandKind::shelve);
  CHECK(shelve.target == "header/low");
  CHECK(shelve.lasts == 2h);
  CHECK(shelve.because == "cleaning \"the\" tank, \xC3\xA9t\xC3\xA9");
  CHECK(shelve.origin == Origin::network);
  const Command back = passed(gate.send(kUnshelve, "header/low"));
  CHECK(back.kind == CommandKind::unshelve);
  CHECK(back.target == "header/low");
}

TEST_CASE("gate: of a shelf every field is there once, and no other", "[report][commands]") {
  Gate gate;
  const std::string reason(129, 'x');
  for (const std::string& payload : std::vector<std::string>{
           "header/low",
           "[]",
           "{}",
           R"({"alarm":"header/low","for":"2 h"})",
           R"({"alarm":"header/low","for":"2 h","because":"x","sure":"no"})",
           R"({"alarm":"header/low","for":"2 h","because":"x","because":"y"})",
           R"({"alarm":"header/low","for":"2 h","because":{"because":"x"}})",
           R"({"alarm":"header/low","for":120,"because":"x"})",
           R"({"alarm":"header/low","for":"2","because":"x"})",
           R"({"alarm":"all","for":"2 h","because":"x"})",
           R"({"alarm":"header/low","for":"2 h","because":""})",
           R"({"alarm":"header/low","for":"2 h","because":"a\nb"})",
           R"({"alarm":"header/low","for":"2 h","because":")" + reason + R"("})",
           "{\"alarm\":\"header/low\",\"for\":\"2 h\",\"because\":\"\xff\"}",
           R"({"alarm":"header/low","for":"2 h","because":"x"} )" + std::string("{}"),
           std::string(512, '['),
       }) {
    INFO(payload);
    CHECK(why(gate.send(kShelve, payload)) == Why::malformed);
  }
  CHECK(why(gate.send(kShelve, std::string(513, '['))) == Why::too_long);
}

TEST_CASE("gate: nobody fills the journal with alarms that there are not", "[report][commands]") {
  Gate gate;
  const Refusal refusal = refused(gate.send(kAcknowledge, "pond/low"));
  CHECK(refusal.why == Why::malformed);
  CHECK(refusal.text == "no alarm is named 'pond/low'");
  CHECK(refusal.of.empty());
  CHECK(why(gate.send(kShelve, R"({"alarm":"pond/low","for":"2 h","because":"x"})")) == Why::malformed);
}

TEST_CASE("gate: thirty in all pass within a minute, the last ten of them to switch off",
          "[report][commands]") {
  Gate gate;
  const std::vector<std::pair<std::string, std::string>> turns{
      {kAcknowledge, "header/low"},
      {kUnshelve, "header/high"},
      {kAlarmReset, "header/low-low"},
      {kMode, "off"},
      {kBoreMode, "off"},
  };
  std::map<std::string, int> passed;
  for (int round = 0; round < 10; ++round) {
    for (const auto& [topic, payload] : turns)
      passed[payload] += passes(gate.send(topic, payload, {}, 250ms)) ? 1 : 0;
  }
  CHECK(passed["header/low"] == 4);
  CHECK(passed["header/high"] == 4);
  CHECK(passed["header/low-low"] == 4);
  CHECK(passed["off"] == 18);
  CHECK(passes(gate.send(kAcknowledge, "header/low", {}, 60s)));
}

TEST_CASE("gate: a reason cannot turn what stands after it", "[report][commands]") {
  Gate gate;
  for (const std::string sign : {"\\u009b", "\\u202e", "\\u2066", "\\u2028", "\\u007f"}) {
    INFO(sign);
    CHECK(why(gate.send(kShelve, R"({"alarm":"header/low","for":"2 h","because":"x)" + sign + R"("})")) ==
          Why::malformed);
  }
  CHECK(passes(gate.send(kShelve, R"({"alarm":"header/low","for":"2 h","because":"água às 8"})")));
}

TEST_CASE("gate: a refusal shows what came, bounded and tame", "[report][commands]") {
  Gate gate;
  const Refusal refusal = refused(gate.send(kMode, "o\x1b[2J\n'\\\xff" + std::string(50, 'f')));
  CHECK(has(refusal.text, "expected auto, hand or off, found 'o\\x1B[2J\\x0A\\x27\\x5C\\xFF"));
  CHECK(refusal.text.size() < 120);
  CHECK(excerpt("plain") == "'plain'");
  CHECK(excerpt(std::string(41, 'x')) == "'" + std::string(40, 'x') + "…'");
}

TEST_CASE("gate: a request is carried out once, whatever topic it is repeated on", "[report][commands]") {
  Gate gate;
  CHECK(passes(gate.send(kMode, "off", {{"request-id", "r1"}})));
  CHECK(why(gate.send(kMode, "off", {{"request-id", "r1"}})) == Why::repeated);
  CHECK(why(gate.send(kBoreMode, "auto", {{"request-id", "r1"}})) == Why::repeated);
  CHECK(passes(gate.send(kMode, "off", {{"request-id", "r2"}})));
  CHECK(passes(gate.send(kMode, "off")));  // without one a button sends the same each time
  CHECK(passes(gate.send(kMode, "off")));
}

TEST_CASE("gate: a request that was refused may be sent again under its id", "[report][commands]") {
  Gate gate;
  CHECK(passes(gate.send(kMode, "off")));
  CHECK(why(gate.send(kMode, "auto", {{"request-id", "r"}}, 500ms)) == Why::too_frequent);
  CHECK(passes(gate.send(kMode, "auto", {{"request-id", "r"}})));
}

TEST_CASE("gate: the last 64 request ids are remembered", "[report][commands]") {
  Gate gate;
  for (int i = 0; i < 65; ++i)
    REQUIRE(passes(gate.send(kMode, "off", {{"request-id", "r" + std::to_string(i)}}, 10s)));
  CHECK(why(gate.send(kMode, "off", {{"request-id", "r1"}}, 10s)) == Why::repeated);
  CHECK(passes(gate.send(kMode, "off", {{"request-id", "r0"}}, 10s)));
}

TEST_CASE("gate: a packet that is delivered twice is carried out once", "[report][commands]") {
  Gate gate;
  Incoming packet{.topic = kReset, .payload = "true", .arrived = gate.now};
  CHECK(passes(gate.judge(packet)));
  gate.now += 5s;
  packet.arrived = gate.now;
  packet.duplicate = true;
  CHECK(why(gate.judge(packet)) == Why::repeated);
  packet.duplicate = false;  // another press of the same button
  CHECK(passes(gate.judge(packet)));
}

TEST_CASE("gate: a packet whose first delivery was lost is carried out", "[report][commands]") {
  Gate gate;
  CHECK(passes(gate.judge({.topic = kMode, .payload = "off", .duplicate = true, .arrived = gate.now})));
}

TEST_CASE("gate: marks that are no marks are malformed", "[report][commands]") {
  Gate gate;
  CHECK(why(gate.send(kMode, "off", {{"request-id", std::string(65, 'r')}})) == Why::malformed);
  CHECK(passes(gate.send(kMode, "off", {{"request-id", std::string(64, 'r')}})));
  CHECK(why(gate.send(kMode, "off", {{"request-id", "a"}, {"request-id", "b"}})) == Why::malformed);
  CHECK(why(gate.send(kMode, "off", {{"issued-at", "yesterday"}})) == Why::malformed);
  CHECK(passes(gate.send(kMode, "off", {{"written-by", "a hub"}})));  // a bridge's own, none of ours
}

TEST_CASE("gate: what was issued over half a minute ago, or will be, is refused", "[report][commands]") {
  Gate gate;  // 2026-03-01T04:12:07.250Z
  CHECK(passes(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:12:07.250Z"}})));
  CHECK(passes(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:11:37.250Z"}})));
  CHECK(why(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:11:37.249Z"}})) == Why::stale);
  CHECK(passes(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:12:37.250Z"}})));
  CHECK(why(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:12:37.251Z"}})) == Why::stale);
  CHECK(passes(gate.send(kMode, "off", {{"issued-at", "2026-03-01T05:12:07+01:00"}})));
  CHECK(why(gate.send(kMode, "off", {{"issued-at", "2026-03-01T04:12:07+01:00"}})) == Why::stale);
}

TEST_CASE("gate: a clock that is not trusted judges nothing", "[report][commands]") {
  Gate gate;
  gate.wall.reset();
  CHECK(passes(gate.send(kMode, "off", {{"issued-at", "2019-01-01T00:00:00Z"}})));
  CHECK(why(gate.send(kMode, "off", {{"issued-at", "nonsense"}})) == Why::malformed);
}

TEST_CASE("gate: what waited here for over half a minute is stale too", "[report][commands]") {
  Gate gate;
  const Incoming message{.topic = kMode, .payload = "auto", .arrived = gate.now};
  gate.now += 31s;
  CHECK(why(gate.judge(message)) == Why::stale);
}

TEST_CASE("gate: one a second for each topic", "[report][commands]") {
  Gate gate;
  CHECK(passes(gate.send(kMode, "off")));
  CHECK(why(gate.send(kMode, "auto", {}, 999ms)) == Why::too_frequent);
  CHECK(passes(gate.send(kBoreMode, "off", {}, 0ms)));
  CHECK(passes(gate.send(kMode, "auto", {}, 1ms)));
}

TEST_CASE("gate: ten a minute for each target, over all its topics", "[report][commands]") {
  Gate gate;
  for (int i = 0; i < 5; ++i) {
    REQUIRE(passes(gate.send(kMode, "off", {}, 3s)));
    REQUIRE(passes(gate.send(kReset, "true", {}, 3s)));
  }
  CHECK(why(gate.send(kMode, "off", {}, 3s)) == Why::too_frequent);
  CHECK(passes(gate.send(kBoreMode, "off", {}, 0s)));
  CHECK(passes(gate.send(kMode, "off", {}, 30s)));  // a minute after the first
}

TEST_CASE("gate: how often is judged by when they came, not by when they were looked at",
          "[report][commands]") {
  Gate gate;
  const auto at = gate.now;
  gate.now += 10s;
  CHECK(passes(gate.judge({.topic = kMode, .payload = "off", .arrived = at})));
  gate.now += 5s;
  CHECK(why(gate.judge({.topic = kMode, .payload = "auto", .arrived = at + 1ms})) == Why::too_frequent);
}

TEST_CASE("gate: the first reason in its order is told", "[report][commands]") {
  Gate gate;
  CHECK(passes(gate.send(kMode, "off", {{"request-id", "r"}})));
  const auto judge = [&](const std::string& payload, bool retained, const char* issued) {
    return why(gate.judge({.topic = kMode,
                           .payload = payload,
                           .retained = retained,
                           .properties = {{"request-id", "r"}, {"issued-at", issued}},
                           .arrived = gate.now}));
  };
  const char* const old = "2026-03-01T03:00:00Z";
  CHECK(judge(std::string(99, 'x'), true, old) == Why::retained);
  CHECK(judge("", false, old) == Why::empty);
  CHECK(judge(std::string(99, 'x'), false, old) == Why::too_long);
  CHECK(judge("x", false, old) == Why::malformed);
  CHECK(judge("off", false, old) == Why::repeated);
  CHECK(why(gate.send(kMode, "off", {{"issued-at", old}}, 0s)) == Why::stale);
  CHECK(why(gate.send(kMode, "off", {}, 0s)) == Why::too_frequent);
}

TEST_CASE("gate: times as RFC 3339 writes them", "[report][commands]") {
  const Stamp noon = std::chrono::sys_days{std::chrono::year{2026} / 3 / 1} + 12h;
  CHECK(parse_rfc3339("2026-03-01T12:00:00Z") == noon);
  CHECK(parse_rfc3339("2026-03-01T12:00:00.5Z") == noon + 500ms);
  CHECK(parse_rfc3339("2026-03-01T12:00:00.123456Z") == noon + 123ms);
  CHECK(parse_rfc3339("2026-03-01T17:45:00+05:45") == noon);
  CHECK(parse_rfc3339("2026-03-01T08:30:00.25-03:30") == noon + 250ms);
  for (const char* text : {"", "2026-03-01", "2026-03-01T12:00:00", "2026-03-01T12:00:00.",
                           "2026-03-01T12:00:00.Z", "2026-03-01 12:00:00Z", "2026-02-30T12:00:00Z",
                           "2026-03-01T24:00:00Z", "2026-03-01T12:00:00+1:00", "2026-03-01T12:00:00+01:00x",
                           "2026-03-01T12:00:00+25:00", "2026-03-01T12:00:00x", "2026-03-01T12:00:00.5"}) {
    INFO(text);
    CHECK_FALSE(parse_rfc3339(text));
  }
}
