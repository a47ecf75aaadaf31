#include "stillwell/report/snapshot.hpp"

#include "stillwell/report/figures.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::report {
namespace {

/// To a tenth of a millimetre, a tenth of a litre: nothing finer is known, and nobody wants to read it.
double rounded(double value, double steps_per_unit) {
  return std::round(value * steps_per_unit) / steps_per_unit;
}

std::optional<double> finite(double value, double steps_per_unit) {
  if (!std::isfinite(value)) return {};
  return rounded(value, steps_per_unit);
}

std::optional<double> seconds_left(const std::optional<TimeTo>& to) {
  const auto left = time_left(to);
  if (!left) return {};
  return seconds_of(*left);
}

std::optional<DayStatus> status_of(const std::optional<DayTotals>& day) {
  if (!day) return {};
  const auto hours = [](Duration time) { return rounded(seconds_of(time) / 3600.0, 100.0); };
  return DayStatus{rounded(day->inflow().value(), 1.0), rounded(day->outflow().value(), 1.0),
                   hours(day->known), hours(day->unknown)};
}

void add_figures(TankStatus& status, const Tank& tank, const TankFigures& figures) {
  status.rate_mm_min = rate_mm_min(figures);
  status.flow_l_min = flow_l_min(figures);
  status.time_to_empty_s = seconds_left(figures.to_empty);
  status.time_to_full_s = seconds_left(figures.to_full);
  status.today = status_of(figures.today);
  status.yesterday = status_of(figures.before);
  if (figures.days_left) status.days_left = finite(*figures.days_left, 10.0);
  if (!figures.night || !figures.night->minimum) return;
  status.night_flow_l_h = finite(figures.night->minimum->value() * 3600.0, 10.0);
  if (tank.night.more_than < Tank::kNoLeak) status.leak = figures.night->leak;
}

TankStatus status_of(const Model& model, const Tank& tank, const TankView& view, Instant now) {
  TankStatus status;
  add_figures(status, tank, view.figures);
  status.id = tank.id;
  status.name = tank.name.empty() ? tank.id : tank.name;
  status.quality = to_word(view.level.quality);
  status.reason = to_word(view.level.reason);
  status.out_of_service = view.out_of_service;
  if (view.floats) status.floats = to_word(*view.floats);
  for (const Refused& one : view.refused)
    status.refused.push_back({model.gauges[one.gauge.at].id, finite(one.level.value(), 1e4).value_or(0.0)});
  status.uncertainty_m = finite(view.level.uncertainty.value(), 1e4).value_or(0.0);
  if (view.last_level) {
    status.last_percent = finite(percent_of(tank, *view.last_level).value(), 10.0);
    status.age_s = rounded(seconds_of(now - view.level.at), 10.0);
  }
  if (!view.level.usable() || !view.contents) return status;
  status.level_m = finite(view.contents->level.value(), 1e4);
  status.percent = finite(view.contents->percent.value(), 10.0);
  status.volume_l = finite(view.contents->volume.value(), 10.0);
  status.usable_l = finite(view.contents->usable.value(), 10.0);
  status.ullage_l = finite(view.contents->ullage.value(), 10.0);
  return status;
}

/// The wall time of an instant that the scan of `now` speaks of.
Stamp stamp_of(const Surroundings& around, Instant now, Instant instant) {
  return around.wall + std::chrono::duration_cast<std::chrono::milliseconds>(instant - now);
}

AlarmFiguresStatus status_of(const AlarmFigures& figures, const Surroundings& around, Instant now) {
  AlarmFiguresStatus status{.last_day = figures.last_day,
                            .last_ten_minutes = figures.last_ten_minutes,
                            .standing = figures.standing,
                            .flood = figures.flood,
                            .over_demanding = figures.is_over_demanding()};
  if (const auto& longest = figures.longest_standing)
    status.longest_standing = {longest->id, stamp_of(around, now, longest->since)};
  if (const auto& most = figures.most_frequent) status.most_frequent = {most->id, most->count};
  return status;
}

AlarmStatus status_of(const Model& model, const Alarm& alarm, const AlarmView& view,
                      const Surroundings& around, Instant now) {
  const auto stamp = [&](Instant instant) { return stamp_of(around, now, instant); };
  AlarmStatus status;
  status.id = alarm.id;
  status.state = to_word(view.state);
  status.priority = to_word(alarm.priority);
  if (view.since) status.since = stamp(*view.since);
  if (view.shelf) {
    status.shelved_until = stamp(view.shelf->until);
    status.because = view.shelf->because;
  }
  if (view.brought_by) status.consequence_of = model.alarms[*view.brought_by].id;
  status.raised_today = view.raised_today;
  return status;
}

std::string contact_word(std::optional<bool> on) {
  if (!on) return "unknown";
  return *on ? "on" : "off";
}

AnnunciatorStatus status_of(const Annunciator& annunciator, const AnnunciatorView& view,
                            const Surroundings& around, Instant now) {
  AnnunciatorStatus status{.id = annunciator.id,
                           .sounding = view.order == Order::on,
                           .silenced = view.state == AnnunciatorState::silenced,
                           .contact = contact_word(view.contact)};
  if (view.since) status.since = stamp_of(around, now, *view.since);
  return status;
}

void add_motor(PumpStatus& status, const MotorView& motor) {
  const bool is_power = motor.kind == LoadKind::power;
  if (motor.load) (is_power ? status.power_w : status.current_a) = finite(motor.load->value(), 100.0);
  if (motor.used) status.energy_kwh = finite(*motor.used / kKilowattHour, 1000.0);
}

PumpStatus status_of(const Pump& pump, const PumpView& view) {
  PumpStatus status;
  status.id = pump.id;
  status.name = pump.name.empty() ? pump.id : pump.name;
  status.state = to_word(view.state);
  status.mode = to_word(view.mode);
  status.order = view.order == Order::on ? "on" : "off";
  status.contact = contact_word(view.contact);
  status.confirmed_off = view.confirmed_off;
  for (const auto cause : view.held_by)
    status.held_by.emplace_back(to_word(cause));
  if (view.first_out) status.first_out = to_word(*view.first_out);
  status.run_hours = rounded(seconds_of(view.run_time) / 3600.0, 100.0);
  status.starts = view.start_count;
  status.last_start = view.last_start;
  status.last_stop = view.last_stop;
  if (view.moved) status.volume_moved_l = finite(view.moved->value(), 1.0);
  if (view.wear) status.wear_percent = finite(100.0 * *view.wear, 1.0);
  if (view.motor) add_motor(status, *view.motor);
  return status;
}

LineStatus status_of(const Line& line, const LineSample& sample) {
  LineStatus status{line.id, sample.open, {}, sample.answered, sample.failed};
  if (!sample.trouble.empty()) status.trouble = sample.trouble;
  return status;
}

/// Not rounded: a spread of counts finer than what people read is looked for here.
GaugeStatus status_of(const Gauge& gauge, const GaugeSample& sample) {
  const auto number = [](const auto& value) {
    return value ? std::optional<double>{value->value()} : std::nullopt;
  };
  const Duration since_boot = sample.at.time_since_epoch();
  return {.id = gauge.id,
          .reading_m = number(sample.value),
          .air_degc = number(sample.air),
          .humidity_percent = number(sample.humidity),
          .water_degc = number(sample.water),
          .fault = std::string{to_word(sample.fault)},
          .monotonic_ns = static_cast<std::uint64_t>(std::max<Duration::rep>(since_boot.count(), 0))};
}

ScanStatus status_of(const ScanHealth& health) {
  return {health.scans, health.missed, rounded(1000.0 * seconds_of(health.worst_delay), 10.0)};
}

EventStatus status_of(const Entry& entry) {
  return {entry.at,       entry.seq,         std::string{to_word(entry.event.kind)},
          entry.event.of, entry.event.cause, entry.event.text};
}

}  // namespace

Snapshot snapshot(const Model& model, const Outcome& outcome, const Surroundings& surroundings) {
  const View& view = outcome.view;
  Snapshot result;
  result.site = model.id;
  result.name = model.name.empty() ? model.id : model.name;
  result.version = surroundings.version;
  result.configuration_crc_32 = surroundings.checksum;
  result.at = surroundings.wall;
  result.broker = surroundings.broker;
  result.scan = status_of(surroundings.health);
  for (std::size_t i = 0; i < model.tanks.size() && i < view.tanks.size(); ++i) {
    result.tanks.push_back(status_of(model, model.tanks[i], view.tanks[i], outcome.at));
  }
  for (std::size_t i = 0; i < model.alarms.size() && i < view.alarms.size(); ++i) {
    result.alarms.push_back(status_of(model, model.alarms[i], view.alarms[i], surroundings, outcome.at));
  }
  result.alarm_figures = status_of(view.alarm_figures, surroundings, outcome.at);
  for (std::size_t i = 0; i < model.pumps.size() && i < view.pumps.size(); ++i) {
    result.pumps.push_back(status_of(model.pumps[i], view.pumps[i]));
  }
  for (std::size_t i = 0; i < model.annunciators.size() && i < view.annunciators.size(); ++i) {
    result.annunciators.push_back(
        status_of(model.annunciators[i], view.annunciators[i], surroundings, outcome.at));
  }
  for (std::size_t i = 0; i < model.lines.size() && i < view.lines.size(); ++i) {
    result.lines.push_back(status_of(model.lines[i], view.lines[i]));
  }
  for (std::size_t i = 0; i < model.gauges.size() && i < view.gauges.size(); ++i) {
    result.gauges.push_back(status_of(model.gauges[i], view.gauges[i]));
  }
  for (const auto& entry : surroundings.recent)
    result.events.push_back(status_of(entry));
  return result;
}

bool is_aside(const AlarmStatus& alarm) {
  return alarm.state == "shelved" || alarm.state == "suppressed" || alarm.state == "out-of-service";
}

bool is_pressing(const AlarmStatus& alarm) {
  return alarm.state != "normal" && !is_aside(alarm);
}

bool needs_attention(const Snapshot& snapshot) {
  const auto any = [](const auto& list, auto&& condition) {
    return std::any_of(list.begin(), list.end(), condition);
  };
  return any(snapshot.alarms, is_pressing) ||
         any(snapshot.pumps,
             [](const PumpStatus& pump) { return pump.state == "tripped" || pump.state == "locked-out"; }) ||
         any(snapshot.tanks,
             [](const TankStatus& tank) { return tank.quality == "bad" && !tank.out_of_service; }) ||
         any(snapshot.lines, [](const LineStatus& line) { return !line.open; });
}

}  // namespace stillwell::report
