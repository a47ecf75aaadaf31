#include "stillwell/report/kept_body.hpp"
#include "stillwell/report/snapshot.hpp"

#include <array>
#include <cmath>
#include <stdexcept>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array kModes{Mode::automatic, Mode::off};
constexpr std::array kAlarmStates{AlarmState::normal,
                                  AlarmState::unacknowledged,
                                  AlarmState::acknowledged,
                                  AlarmState::returned_unacknowledged,
                                  AlarmState::latched_unacknowledged,
                                  AlarmState::latched_acknowledged,
                                  AlarmState::shelved,
                                  AlarmState::suppressed,
                                  AlarmState::out_of_service};

/// The enumerator of a word; throws for a word of another version.
template <class List>
auto named(const List& all, const std::string& word) {
  for (const auto each : all) {
    if (to_word(each) == word) return each;
  }
  throw std::runtime_error("'" + word + "' is not known to this version");
}

std::optional<Cause> cause_in(const Json& json) {
  if (json.is_null()) return std::nullopt;
  for (const CauseRow& row : cause_table()) {
    if (row.word == json.get<std::string>()) return row.cause;
  }
  throw std::runtime_error("'" + json.get<std::string>() + "' is no cause of this version");
}

/// An older version kept none; one that cannot be read is told as none.
std::optional<Stamp> stamp_in(const Json& json, const char* name) {
  const auto found = json.find(name);
  if (found == json.end() || !found->is_string()) return {};
  return parse_stamp(found->get<std::string>());
}

KeptPump pump_in(const Json& json) {
  return {.id = json.at("id").get<std::string>(),
          .mode = named(kModes, json.at("mode").get<std::string>()),
          .lock_out = cause_in(json.at("lock_out")),
          .first_out = cause_in(json.at("first_out")),
          .tripped = json.value("tripped", false),
          .feedback_failures = json.at("feedback_failures").get<int>(),
          .dry_failures = json.value("dry_failures", 0),
          .dry_cause = cause_in(json.value("dry_cause", Json{})),
          .out_of_service = json.value("out_of_service", false),
          .released = json.value("released", false),
          .recent_starts = json.at("recent_starts").get<std::size_t>(),
          .run_time = Duration{json.at("run_time_ns").get<Duration::rep>()},
          .start_count = json.at("start_count").get<std::uint64_t>(),
          .off_by_network = json.value("off_by_network", false),
          .reset_by_network = json.value("reset_by_network", false),
          .started_last = json.value("started_last", false),
          .started_at = stamp_in(json, "started_at"),
          .stopped_at = stamp_in(json, "stopped_at")};
}

[[noreturn]] void refuse(const std::string& what) {
  throw std::runtime_error(what + " is out of range");
}

/// Within a hundred years of the clock's own beginning, so that differences fit the type.
Instant instant_in(const Json& json) {
  constexpr Duration kMost = std::chrono::hours{24 * 365 * 100};
  const Duration since{json.get<Duration::rep>()};
  if (since < -kMost || since > kMost) refuse("an instant");
  return Instant{since};
}

std::optional<Instant> instant_in(const Json& json, const char* name) {
  const auto found = json.find(name);
  if (found == json.end() || found->is_null()) return {};
  return instant_in(*found);
}

/// A version that could not shelve knew no more than state and condition.
KeptAlarm alarm_in(const Json& json) {
  const auto rests = [](AlarmState state) {
    return state == AlarmState::normal || state == AlarmState::returned_unacknowledged;
  };
  KeptAlarm alarm{.id = json.at("id").get<std::string>(),
                  .state = named(kAlarmStates, json.at("state").get<std::string>()),
                  .active = json.at("active").get<bool>(),
                  .since = instant_in(json, "since_ns"),
                  .began = instant_in(json, "began_ns"),
                  .shelved_until = instant_in(json, "shelved_until_ns"),
                  .shelved_because = json.value("shelved_because", ""),
                  .raised_count = json.value("raised_count", std::uint64_t{0})};
  alarm.unreset = json.value("unreset", !rests(alarm.state));
  alarm.heard = json.value("heard", alarm.state != AlarmState::normal);
  const Json raised = json.value("raised_ns", Json::array());
  if (!raised.is_array() || raised.size() > kMostRaised) refuse("the count of rises");
  for (const Json& rise : raised)
    alarm.raised.push_back(instant_in(rise));
  return alarm;
}

std::optional<Metres> level_in(const Json& json, const char* name) {
  constexpr double kMost = 1000.0;  // no well is deeper
  if (json.at(name).is_null()) return {};
  const double level = json.at(name).get<double>();
  if (!(std::abs(level) <= kMost)) refuse(name);
  return Metres{level};
}

KeptGauge gauge_in(const Json& json) {
  return {.id = json.at("id").get<std::string>(),
          .to_floor = level_in(json, "to_floor_m").value_or(Metres{0.0}),
          .level = level_in(json, "level_m"),
          .fence_above = level_in(json, "fence_above_m"),
          .fence_below = level_in(json, "fence_below_m"),
          .frozen = json.at("frozen").get<bool>()};
}

Litres volume_in(const Json& json, const char* name, bool may_be_negative = false) {
  constexpr double kMost = 1e15;  // a large lake
  const double volume = json.at(name).get<double>();
  if (!(std::abs(volume) <= kMost) || (volume < 0.0 && !may_be_negative)) refuse(name);
  return Litres{volume};
}

/// A version that knew no meters kept none.
Joules energy_in(const Json& json, const char* name) {
  constexpr double kMost = 1e18;  // ten megawatts for three thousand years
  const double energy = json.value(name, 0.0);
  if (!(energy >= 0.0 && energy <= kMost)) refuse(name);
  return Joules{energy};
}

/// Some lifetimes of a pump; sums of a few of them still fit the type.
Duration duration_in(const Json& json, const char* name) {
  constexpr Duration kMost = std::chrono::hours{24 * 365 * 50};
  const Duration duration{json.at(name).get<Duration::rep>()};
  if (duration < Duration{0} || duration > kMost) refuse(name);
  return duration;
}

DayTotals day_in(const Json& json) {
  constexpr std::int64_t kFarthest = 10'000'000;  // days; the year 29348
  const auto day = json.at("day").get<std::int64_t>();
  if (day < -kFarthest || day > kFarthest) refuse("day");
  return {.day = day,
          .drawn = volume_in(json, "drawn_l"),
          .gained = volume_in(json, "gained_l"),
          .pumped_in = volume_in(json, "pumped_in_l"),
          .pumped_out = volume_in(json, "pumped_out_l"),
          .known = duration_in(json, "known_ns"),
          .unknown = duration_in(json, "unknown_ns")};
}

Night night_in(const Json& json) {
  Night night{.known = json.at("known").get<double>(),
              .told = json.at("told").get<bool>(),
              .leak = json.at("leak").get<bool>()};
  const Json& minimum = json.at("minimum_l_s");
  if (!minimum.is_null()) night.minimum = LitresPerSecond{minimum.get<double>()};
  return night;
}

KeptTank tank_in(const Json& json) {
  KeptTank tank{.id = json.at("id").get<std::string>()};
  FlowAccount& account = tank.account;
  const Json& days = json.at("days");
  if (!days.is_array() || days.size() > kDaysKept) refuse("the count of days");
  for (const Json& day : days) {
    account.closed.at(account.closed_count) = day_in(day);
    ++account.closed_count;
  }
  account.closed_next = account.closed_count % kDaysKept;
  account.slack = volume_in(json, "slack_l", true);
  if (!json.at("today").is_null()) account.today = day_in(json.at("today"));
  if (!json.at("night").is_null()) tank.night = night_in(json.at("night"));
  return tank;
}

KeptWork work_in(const Json& json) {
  KeptWork work{.id = json.at("id").get<std::string>(), .moved = volume_in(json, "moved_l")};
  work.used = energy_in(json, "used_j");
  if (json.contains("ran_on_ns")) work.ran_on = duration_in(json, "ran_on_ns");
  const Json& stretches = json.at("stretches");
  const bool fit = stretches.is_array() && !stretches.empty() && stretches.size() <= kWearStretches;
  if (!fit) refuse("the count of stretches");
  for (std::size_t at = 0; at < stretches.size(); ++at) {
    work.wear.stretches.at(at) = {volume_in(stretches[at], "moved_l"), duration_in(stretches[at], "ran_ns")};
    if (at + 1 < stretches.size() && work.wear.stretches.at(at).ran <= Duration{0}) refuse("ran_ns");
  }
  work.wear.complete = stretches.size() - 1;
  work.wear.length = duration_in(json, "stretch_ns");
  if (work.wear.length <= Duration{0}) refuse("stretch_ns");
  return work;
}

KeptAccounts accounts_in(const Json& body) {
  KeptAccounts accounts;
  for (const Json& tank : body.value("tanks", Json::array()))
    accounts.tanks.push_back(tank_in(tank));
  for (const Json& work : body.value("work", Json::array()))
    accounts.work.push_back(work_in(work));
  return accounts;
}

}  // namespace

Kept kept_of(std::string_view text) {
  const Json body = Json::parse(text);
  Kept kept;
  for (const Json& pump : body.at("pumps"))
    kept.pumps.push_back(pump_in(pump));
  for (const Json& alarm : body.at("alarms"))
    kept.alarms.push_back(alarm_in(alarm));
  kept.tanks_out = body.value("tanks_out", std::vector<std::string>{});
  for (const Json& gauge : body.value("gauges", Json::array()))
    kept.gauges.push_back(gauge_in(gauge));
  kept.accounts = accounts_in(body);
  kept.at = parse_stamp(body.value("at", ""));
  kept.written = parse_stamp(body.value("written", ""));
  kept.boot = body.value("boot", "");
  kept.since = instant_in(body, "since_ns");
  kept.seq = body.value("seq", std::uint64_t{0});
  return kept;
}

}  // namespace stillwell::report
