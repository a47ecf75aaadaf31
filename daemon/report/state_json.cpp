#include "stillwell/report/state_json.hpp"

#include "stillwell/report/snapshot.hpp"

#include <array>
#include <cmath>
#include <stdexcept>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kVersion = 1;
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

/// FNV-1a, 64 bits: it tells a torn or changed file from a whole one, and is no protection against malice.
std::string sum_of(const std::string& text) {
  std::uint64_t sum = 0xcbf29ce484222325U;
  for (const char letter : text) {
    sum = (sum ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  }
  return std::to_string(sum);
}

std::string dump(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json written(const std::optional<Cause>& cause) {
  return cause ? Json(std::string(to_word(*cause))) : Json(nullptr);
}

Json written(Litres volume) {
  return volume.value();
}

Json written(const KeptPump& pump) {
  return {{"id", pump.id},
          {"mode", std::string(to_word(pump.mode))},
          {"lock_out", written(pump.lock_out)},
          {"first_out", written(pump.first_out)},
          {"tripped", pump.tripped},
          {"feedback_failures", pump.feedback_failures},
          {"dry_failures", pump.dry_failures},
          {"dry_cause", written(pump.dry_cause)},
          {"out_of_service", pump.out_of_service},
          {"recent_starts", pump.recent_starts},
          {"run_time_ns", pump.run_time.count()},
          {"start_count", pump.start_count},
          {"off_by_network", pump.off_by_network},
          {"reset_by_network", pump.reset_by_network},
          {"started_last", pump.started_last}};
}

Json written(const std::optional<Instant>& instant) {
  return instant ? Json(instant->time_since_epoch().count()) : Json(nullptr);
}

Json written(const KeptAlarm& alarm) {
  Json raised = Json::array();
  for (const Instant rise : alarm.raised)
    raised.push_back(rise.time_since_epoch().count());
  return {{"id", alarm.id},
          {"state", std::string(to_word(alarm.state))},
          {"active", alarm.active},
          {"unreset", alarm.unreset},
          {"heard", alarm.heard},
          {"since_ns", written(alarm.since)},
          {"began_ns", written(alarm.began)},
          {"shelved_until_ns", written(alarm.shelved_until)},
          {"shelved_because", alarm.shelved_because},
          {"raised_ns", std::move(raised)},
          {"raised_count", alarm.raised_count}};
}

Json written(const std::optional<Metres>& level) {
  return level ? Json(level->value()) : Json(nullptr);
}

Json written(const KeptGauge& gauge) {
  return {{"id", gauge.id},
          {"to_floor_m", gauge.to_floor.value()},
          {"level_m", written(gauge.level)},
          {"fence_above_m", written(gauge.fence_above)},
          {"fence_below_m", written(gauge.fence_below)},
          {"frozen", gauge.frozen}};
}

Json written(const DayTotals& day) {
  return {{"day", day.day},
          {"drawn_l", written(day.drawn)},
          {"gained_l", written(day.gained)},
          {"pumped_in_l", written(day.pumped_in)},
          {"pumped_out_l", written(day.pumped_out)},
          {"known_ns", day.known.count()},
          {"unknown_ns", day.unknown.count()}};
}

Json written(const Night& night) {
  return {{"minimum_l_s", night.minimum ? Json(night.minimum->value()) : Json(nullptr)},
          {"known", night.known},
          {"told", night.told},
          {"leak", night.leak}};
}

/// Days from the oldest to yesterday.
Json written(const KeptTank& tank) {
  const FlowAccount& account = tank.account;
  Json days = Json::array();
  for (std::size_t back = account.closed_count; back > 0; --back)
    days.push_back(written(account.day_before(back - 1)));
  return {{"id", tank.id},
          {"today", account.today ? written(*account.today) : Json(nullptr)},
          {"days", std::move(days)},
          {"slack_l", written(account.slack)},
          {"night", tank.night ? written(*tank.night) : Json(nullptr)}};
}

Json written(const KeptWork& work) {
  Json stretches = Json::array();
  for (std::size_t at = 0; at <= work.wear.complete; ++at) {
    const PumpWear::Stretch& stretch = work.wear.stretches.at(at);
    stretches.push_back({{"moved_l", written(stretch.moved)}, {"ran_ns", stretch.ran.count()}});
  }
  return {{"id", work.id},
          {"moved_l", written(work.moved)},
          {"used_j", work.used.value()},
          {"stretch_ns", work.wear.length.count()},
          {"stretches", std::move(stretches)}};
}

/// The entries of a list, each written.
template <class List>
Json written_all(const List& list) {
  Json array = Json::array();
  for (const auto& each : list)
    array.push_back(written(each));
  return array;
}

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
          .recent_starts = json.at("recent_starts").get<std::size_t>(),
          .run_time = Duration{json.at("run_time_ns").get<Duration::rep>()},
          .start_count = json.at("start_count").get<std::uint64_t>(),
          .off_by_network = json.value("off_by_network", false),
          .reset_by_network = json.value("reset_by_network", false),
          .started_last = json.value("started_last", false)};
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

Kept kept_in(const Json& file) {
  const Json& body = file.at("kept");
  if (file.at("version").get<int>() != kVersion) throw std::runtime_error("it is of another version");
  if (file.at("sum").get<std::string>() != sum_of(dump(body))) throw std::runtime_error("its sum is wrong");
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
  return kept;
}

}  // namespace

std::string to_json(const Kept& kept) {
  Json body;
  if (kept.at) body["at"] = to_text(*kept.at);
  if (kept.written) body["written"] = to_text(*kept.written);
  if (!kept.boot.empty()) body["boot"] = kept.boot;
  if (kept.since) body["since_ns"] = kept.since->time_since_epoch().count();
  body["pumps"] = written_all(kept.pumps);
  body["alarms"] = written_all(kept.alarms);
  body["tanks_out"] = kept.tanks_out;
  body["gauges"] = written_all(kept.gauges);
  body["tanks"] = written_all(kept.accounts.tanks);
  body["work"] = written_all(kept.accounts.work);
  return dump({{"version", kVersion}, {"sum", sum_of(dump(body))}, {"kept", body}}) + "\n";
}

Result<Kept> parse_kept(std::string_view text) {
  const Json file = Json::parse(text, nullptr, false);
  if (file.is_discarded()) return Failure{"it is not whole JSON"};
  try {
    return kept_in(file);
  } catch (const std::exception& problem) {
    return Failure{problem.what()};
  }
}

}  // namespace stillwell::report
