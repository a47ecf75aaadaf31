#include "stillwell/report/kept_body.hpp"

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

Json written(const std::optional<Cause>& cause) {
  return cause ? Json(std::string(to_word(*cause))) : Json(nullptr);
}

Json written(Litres volume) {
  return volume.value();
}

Json written(const std::optional<Stamp>& stamp) {
  return stamp ? Json(stillwell::to_text(*stamp)) : Json(nullptr);
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
          {"released", pump.released},
          {"recent_starts", pump.recent_starts},
          {"run_time_ns", pump.run_time.count()},
          {"start_count", pump.start_count},
          {"off_by_network", pump.off_by_network},
          {"reset_by_network", pump.reset_by_network},
          {"started_last", pump.started_last},
          {"started_at", written(pump.started_at)},
          {"stopped_at", written(pump.stopped_at)}};
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
          {"ran_on_ns", work.ran_on.count()},
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

}  // namespace

std::string body_of(const Kept& kept) {
  Json body;
  if (kept.at) body["at"] = stillwell::to_text(*kept.at);
  if (kept.written) body["written"] = stillwell::to_text(*kept.written);
  if (!kept.boot.empty()) body["boot"] = kept.boot;
  if (kept.since) body["since_ns"] = kept.since->time_since_epoch().count();
  body["seq"] = kept.seq;
  body["pumps"] = written_all(kept.pumps);
  body["alarms"] = written_all(kept.alarms);
  body["tanks_out"] = kept.tanks_out;
  body["gauges"] = written_all(kept.gauges);
  body["tanks"] = written_all(kept.accounts.tanks);
  body["work"] = written_all(kept.accounts.work);
  return body.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace stillwell::report
