#include "stillwell/report/snapshot.hpp"

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using nlohmann::json;

namespace {

Surroundings around() {
  return {support::some_stamp(),
          "0.1.0",
          "cafe0123",
          "connected",
          {{support::some_stamp() - 9s, 41, {EventKind::start, "lift", "level", "Lift pump started.", {}}}}};
}

}  // namespace

TEST_CASE("snapshot: it names everything with its unit", "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.alarms[0] = {AlarmState::unacknowledged, support::kSomeInstant - 65s};
  outcome.view.pumps[0].held_by = {Cause::source_low, Cause::rest};
  outcome.view.pumps[0].first_out = Cause::source_low;
  const auto shown = json::parse(to_json(snapshot(model, outcome, around())));
  CHECK(shown["site"] == "orchard");
  CHECK(shown["at"] == "2026-03-01T04:12:07.250Z");
  CHECK(shown["configuration_crc_32"] == "cafe0123");
  CHECK(shown["broker"] == "connected");
  CHECK(shown["tanks"][0] == json{{"id", "header"},
                                  {"name", "Header tank"},
                                  {"level_m", 1.742},
                                  {"percent", 71.1},
                                  {"volume_l", 8710.0},
                                  {"usable_l", 8210.0},
                                  {"ullage_l", 3540.0},
                                  {"last_percent", 71.1},
                                  {"quality", "good"},
                                  {"reason", "none"},
                                  {"refused", json::array()},
                                  {"age_s", 0.4},
                                  {"uncertainty_m", 0.004},
                                  {"out_of_service", false},
                                  {"rate_mm_min", nullptr},
                                  {"flow_l_min", nullptr},
                                  {"time_to_empty_s", nullptr},
                                  {"time_to_full_s", nullptr},
                                  {"today", nullptr},
                                  {"yesterday", nullptr},
                                  {"days_left", nullptr},
                                  {"night_flow_l_h", nullptr},
                                  {"leak", nullptr},
                                  {"floats", nullptr}});
  CHECK(shown["alarms"][0] == json{{"id", "header/low"},
                                   {"state", "unacknowledged"},
                                   {"priority", "medium"},
                                   {"since", "2026-03-01T04:11:02.250Z"},
                                   {"shelved_until", nullptr},
                                   {"because", nullptr},
                                   {"consequence_of", nullptr},
                                   {"raised_today", 0}});
  CHECK(shown["alarms"][1]["since"].is_null());
  CHECK(shown["pumps"][0] == json{{"id", "lift"},
                                  {"name", "Lift pump"},
                                  {"state", "stopped"},
                                  {"mode", "auto"},
                                  {"order", "off"},
                                  {"contact", "off"},
                                  {"confirmed_off", false},
                                  {"held_by", {"source-low", "rest"}},
                                  {"first_out", "source-low"},
                                  {"run_hours", 12.4},
                                  {"starts", 37},
                                  {"last_start", nullptr},
                                  {"last_stop", nullptr},
                                  {"volume_moved_l", nullptr},
                                  {"wear_percent", nullptr},
                                  {"power_w", nullptr},
                                  {"current_a", nullptr},
                                  {"energy_kwh", nullptr}});
  CHECK(shown["lines"][0] ==
        json{{"id", "shed"}, {"open", true}, {"trouble", nullptr}, {"answered", 1204}, {"failed", 3}});
  CHECK(shown["events"][0]["text"] == "Lift pump started.");
}

TEST_CASE("snapshot: the figures of the alarms", "[report][snapshot][figures]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  CHECK(json::parse(to_json(snapshot(model, outcome, around())))["alarm_figures"] ==
        json{{"last_day", 0},
             {"last_ten_minutes", 0},
             {"standing", 0},
             {"longest_standing", nullptr},
             {"most_frequent", nullptr},
             {"flood", false},
             {"over_demanding", false}});
  outcome.view.alarm_figures = {
      .last_day = 145,
      .last_ten_minutes = 12,
      .standing = 2,
      .longest_standing = LongestStanding{"header/low", support::kSomeInstant - 65s},
      .most_frequent = MostFrequent{"cistern/low", 90},
      .flood = true};
  const auto text = to_json(snapshot(model, outcome, around()));
  CHECK(json::parse(text)["alarm_figures"] ==
        json{{"last_day", 145},
             {"last_ten_minutes", 12},
             {"standing", 2},
             {"longest_standing", {{"id", "header/low"}, {"since", "2026-03-01T04:11:02.250Z"}}},
             {"most_frequent", {{"id", "cistern/low"}, {"count", 90}}},
             {"flood", true},
             {"over_demanding", true}});
  const auto back = parse_snapshot(text);
  REQUIRE(back);
  CHECK(to_json(*back) == text);
}

TEST_CASE("snapshot: an alarm that is put aside asks for nobody, every other one does",
          "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  CHECK_FALSE(needs_attention(snapshot(model, outcome, around())));
  for (int state = 0; state <= static_cast<int>(AlarmState::out_of_service); ++state) {
    outcome.view.alarms[0].state = static_cast<AlarmState>(state);
    INFO(to_word(outcome.view.alarms[0].state));
    const bool calls = state != 0 && !is_aside(outcome.view.alarms[0].state);
    CHECK(needs_attention(snapshot(model, outcome, around())) == calls);
  }
  // Nor does a tank that a person took out of service; one that is unknown for another reason does.
  outcome.view.alarms[0].state = AlarmState::normal;
  outcome.view.tanks[0] = support::tank_gone(outcome.view.tanks[0], Reason::out_of_service);
  CHECK(needs_attention(snapshot(model, outcome, around())));
  outcome.view.tanks[0].out_of_service = true;
  CHECK_FALSE(needs_attention(snapshot(model, outcome, around())));
  outcome.view.pumps[0].state = PumpState::out_of_service;
  CHECK_FALSE(needs_attention(snapshot(model, outcome, around())));
  outcome.view.pumps[0].state = PumpState::locked_out;
  CHECK(needs_attention(snapshot(model, outcome, around())));
}

TEST_CASE("snapshot: a line that is not open says why", "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.lines[0] = {false, 0, 1, "cannot open /dev/ttyUSB0: No such file or directory"};
  const auto shown = json::parse(to_json(snapshot(model, outcome, around())));
  CHECK(shown["lines"][0]["open"] == false);
  CHECK(shown["lines"][0]["trouble"] == "cannot open /dev/ttyUSB0: No such file or directory");
}

TEST_CASE("snapshot: what each gauge sent last, and when, comes through unrounded", "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  GaugeSample read{.at = Instant{12345678901ns}, .value = Metres{1.23456789}, .fault = Reason::none};
  read.air = Celsius{21.5};
  outcome.view.gauges = {read, {.at = Instant{2s}, .fault = Reason::no_answer}};
  const auto text = to_json(snapshot(model, outcome, around()));
  CHECK(json::parse(text)["gauges"][0] == json{{"id", "header-top"},
                                               {"reading_m", 1.23456789},
                                               {"air_degc", 21.5},
                                               {"humidity_percent", nullptr},
                                               {"water_degc", nullptr},
                                               {"fault", "none"},
                                               {"monotonic_ns", 12345678901}});
  const auto back = parse_snapshot(text);
  REQUIRE(back);
  REQUIRE(back->gauges.size() == 2);
  CHECK(back->gauges[0].reading_m == 1.23456789);
  CHECK(back->gauges[0].monotonic_ns == 12345678901U);
  CHECK_FALSE(back->gauges[1].reading_m);
  CHECK(back->gauges[1].fault == "no-answer");
}

TEST_CASE("snapshot: a bad level shows no number that could be taken for one", "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.tanks[0] = support::tank_gone(outcome.view.tanks[0], Reason::stale);
  outcome.view.tanks[1] = {};  // nothing was ever heard of it
  outcome.view.pumps[0].contact.reset();
  const auto shown = json::parse(to_json(snapshot(model, outcome, around())));
  for (const char* field : {"level_m", "percent", "volume_l", "usable_l", "ullage_l"}) {
    CHECK(shown["tanks"][0][field].is_null());
  }
  CHECK(shown["tanks"][0]["last_percent"] == 71.1);
  CHECK(shown["tanks"][0]["reason"] == "stale");
  CHECK(shown["tanks"][1]["last_percent"].is_null());
  CHECK(shown["tanks"][1]["age_s"].is_null());
  CHECK(shown["tanks"][1]["reason"] == "starting");
  CHECK(shown["pumps"][0]["contact"] == "unknown");
}

TEST_CASE("snapshot: the accounts, with their units, and the same after a journey",
          "[report][snapshot][accounts]") {
  auto model = support::orchard_model();
  model.tanks[0].night.more_than = LitresPerSecond{4.0 / 3600.0};
  auto outcome = support::calm_outcome(model);
  outcome.view = support::busy_view(model);
  const auto text = to_json(snapshot(model, outcome, around()));
  const auto shown = json::parse(text);
  const auto& header = shown["tanks"][0];
  CHECK(header["rate_mm_min"] == 3.0);
  CHECK(header["flow_l_min"] == 20.0);
  CHECK(header["time_to_full_s"] == 10800.0);
  CHECK(header["today"] ==
        json{{"inflow_l", 612.0}, {"outflow_l", 200.0}, {"known_h", 6.0}, {"unknown_h", 0.5}});
  CHECK(header["yesterday"] == header["today"]);
  CHECK(header["days_left"] == 12.3);
  CHECK(header["night_flow_l_h"] == 2.5);
  CHECK(header["leak"] == false);
  CHECK(shown["tanks"][1]["leak"].is_null());  // nobody set a limit
  CHECK(shown["pumps"][0]["volume_moved_l"] == 123457.0);
  CHECK(shown["pumps"][0]["wear_percent"] == 93.0);
  CHECK(shown["pumps"][0]["power_w"] == 821.46);
  CHECK(shown["pumps"][0]["current_a"].is_null());
  CHECK(shown["pumps"][0]["energy_kwh"] == 41.235);
  const auto back = parse_snapshot(text);
  REQUIRE(back);
  CHECK(to_json(*back) == text);
}

TEST_CASE("snapshot: a meter that cannot be read shows no load, and the energy stays",
          "[report][snapshot][meter]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.pumps[0].motor = MotorView{.kind = LoadKind::power, .load = {}, .used = kKilowattHour};
  outcome.view.pumps[1].motor = MotorView{.kind = LoadKind::current, .load = MotorLoad{4.1234}};
  const auto shown = json::parse(to_json(snapshot(model, outcome, around())));
  CHECK(shown["pumps"][0]["power_w"].is_null());
  CHECK(shown["pumps"][0]["energy_kwh"] == 1.0);
  CHECK(shown["pumps"][1]["power_w"].is_null());
  CHECK(shown["pumps"][1]["current_a"] == 4.12);
  CHECK(shown["pumps"][1]["energy_kwh"].is_null());
}

TEST_CASE("snapshot: what goes over the socket comes back the same", "[report][snapshot]") {
  const auto model = support::orchard_model();
  auto outcome = support::calm_outcome(model);
  outcome.view.tanks[1] = support::tank_gone(outcome.view.tanks[1], Reason::no_answer);
  outcome.view.alarms[2] = {AlarmState::acknowledged, support::kSomeInstant - 1h};
  const auto text = to_json(snapshot(model, outcome, around()));
  const auto back = parse_snapshot(text);
  REQUIRE(back);
  CHECK(to_json(*back) == text);
}

TEST_CASE("snapshot: an answer that is none is refused with the field that is wrong", "[report][snapshot]") {
  const auto model = support::orchard_model();
  const auto good = json::parse(to_json(snapshot(model, support::calm_outcome(model), around())));
  const auto error_of = [](const json& changed) {
    const auto parsed = parse_snapshot(changed.dump());
    REQUIRE_FALSE(parsed);
    return parsed.error();
  };
  CHECK_FALSE(parse_snapshot("").ok());
  CHECK_FALSE(parse_snapshot("[]").ok());
  CHECK_FALSE(parse_snapshot("{").ok());
  auto changed = good;
  changed.erase("pumps");
  CHECK(error_of(changed).find("`pumps`") != std::string::npos);
  changed = good;
  changed["tanks"][0]["level_m"] = "1.7";
  CHECK(error_of(changed).find("`level_m`") != std::string::npos);
  changed = good;
  changed["at"] = "yesterday";
  CHECK(error_of(changed).find("`at`") != std::string::npos);
  changed = good;
  changed["tanks"][0] = 7;
  CHECK(error_of(changed).find("`tanks`") != std::string::npos);
  changed = good;
  changed["of a later version"] = true;
  CHECK(parse_snapshot(changed.dump()).ok());
}

TEST_CASE("snapshot: stamps are read as they are printed and not otherwise", "[report][snapshot]") {
  CHECK(parse_stamp("2026-03-01T04:12:07.250Z") == support::some_stamp());
  CHECK(parse_stamp("2024-02-29T23:59:59.999Z").has_value());
  for (const char* wrong :
       {"2026-02-29T00:00:00.000Z", "2026-13-01T00:00:00.000Z", "2026-03-01T24:00:00.000Z",
        "2026-03-01T00:60:00.000Z", "2026-03-01 00:00:00.000Z", "2026-03-01T00:00:00Z",
        "2026-03-01T00:00:00.000", "2026-03-01T00:00:+0.000Z", ""}) {
    INFO(wrong);
    CHECK_FALSE(parse_stamp(wrong).has_value());
  }
}

TEST_CASE("snapshot: a view that is shorter than the model is not read past its end", "[report][snapshot]") {
  const auto model = support::orchard_model();
  const Outcome nothing;
  const auto empty = snapshot(model, nothing, around());
  CHECK(empty.tanks.empty());
  CHECK(empty.alarms.empty());
  CHECK(empty.pumps.empty());
  CHECK(empty.lines.empty());
}

TEST_CASE("snapshot: an annunciator is told with what it does and what its contact is",
          "[report][snapshot][horn]") {
  auto model = support::orchard_model();
  model.annunciators = {{.id = "yard"}, {.id = "gate"}};
  auto outcome = support::calm_outcome(model);
  outcome.view.annunciators = {
      {AnnunciatorState::sounding, support::kSomeInstant - 65s, Order::on, true},
      {AnnunciatorState::silenced, support::kSomeInstant - 65s, Order::off, {}},
  };
  const auto text = to_json(snapshot(model, outcome, around()));
  const auto shown = json::parse(text)["annunciators"];
  CHECK(shown[0] == json{{"id", "yard"},
                         {"sounding", true},
                         {"silenced", false},
                         {"contact", "on"},
                         {"since", "2026-03-01T04:11:02.250Z"}});
  CHECK(shown[1]["sounding"] == false);
  CHECK(shown[1]["silenced"] == true);
  CHECK(shown[1]["contact"] == "unknown");
  const auto back = parse_snapshot(text);
  REQUIRE(back);
  CHECK(to_json(*back) == text);
}
