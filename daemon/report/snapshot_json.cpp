// The snapshot as JSON and back. One function a struct names its fields once, for both directions.
#include "stillwell/report/snapshot.hpp"

#include <chrono>
#include <cmath>
#include <concepts>
#include <stdexcept>
#include <type_traits>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

template <class T, class U>
concept Like = std::same_as<std::remove_const_t<T>, U>;

void visit(auto&& field, Like<DayStatus> auto& day) {
  field("inflow_l", day.inflow_l);
  field("outflow_l", day.outflow_l);
  field("known_h", day.known_h);
  field("unknown_h", day.unknown_h);
}
void visit(auto&& field, Like<RefusedStatus> auto& refused) {
  field("gauge", refused.gauge);
  field("level_m", refused.level_m);
}
void visit(auto&& field, Like<TankStatus> auto& tank) {
  field("id", tank.id);
  field("name", tank.name);
  field("level_m", tank.level_m);
  field("percent", tank.percent);
  field("volume_l", tank.volume_l);
  field("usable_l", tank.usable_l);
  field("ullage_l", tank.ullage_l);
  field("last_percent", tank.last_percent);
  field("quality", tank.quality);
  field("reason", tank.reason);
  field("refused", tank.refused);
  field("age_s", tank.age_s);
  field("uncertainty_m", tank.uncertainty_m);
  field("out_of_service", tank.out_of_service);
  field("rate_mm_min", tank.rate_mm_min);
  field("flow_l_min", tank.flow_l_min);
  field("time_to_empty_s", tank.time_to_empty_s);
  field("time_to_full_s", tank.time_to_full_s);
  field("today", tank.today);
  field("yesterday", tank.yesterday);
  field("days_left", tank.days_left);
  field("night_flow_l_h", tank.night_flow_l_h);
  field("leak", tank.leak);
  field("floats", tank.floats);
}
void visit(auto&& field, Like<AlarmStatus> auto& alarm) {
  field("id", alarm.id);
  field("state", alarm.state);
  field("priority", alarm.priority);
  field("since", alarm.since);
  field("shelved_until", alarm.shelved_until);
  field("because", alarm.because);
  field("consequence_of", alarm.consequence_of);
  field("raised_today", alarm.raised_today);
}
void visit(auto&& field, Like<LongestStatus> auto& longest) {
  field("id", longest.id);
  field("since", longest.since);
}
void visit(auto&& field, Like<FrequentStatus> auto& frequent) {
  field("id", frequent.id);
  field("count", frequent.count);
}
void visit(auto&& field, Like<AlarmFiguresStatus> auto& figures) {
  field("last_day", figures.last_day);
  field("last_ten_minutes", figures.last_ten_minutes);
  field("standing", figures.standing);
  field("longest_standing", figures.longest_standing);
  field("most_frequent", figures.most_frequent);
  field("flood", figures.flood);
  field("over_demanding", figures.over_demanding);
}
void visit(auto&& field, Like<PumpStatus> auto& pump) {
  field("id", pump.id);
  field("name", pump.name);
  field("state", pump.state);
  field("mode", pump.mode);
  field("order", pump.order);
  field("contact", pump.contact);
  field("confirmed_off", pump.confirmed_off);
  field("held_by", pump.held_by);
  field("first_out", pump.first_out);
  field("run_hours", pump.run_hours);
  field("starts", pump.starts);
  field("last_start", pump.last_start);
  field("last_stop", pump.last_stop);
  field("volume_moved_l", pump.volume_moved_l);
  field("wear_percent", pump.wear_percent);
  field("power_w", pump.power_w);
  field("current_a", pump.current_a);
  field("energy_kwh", pump.energy_kwh);
}
void visit(auto&& field, Like<AnnunciatorStatus> auto& annunciator) {
  field("id", annunciator.id);
  field("sounding", annunciator.sounding);
  field("silenced", annunciator.silenced);
  field("contact", annunciator.contact);
  field("since", annunciator.since);
}
void visit(auto&& field, Like<GaugeStatus> auto& gauge) {
  field("id", gauge.id);
  field("reading_m", gauge.reading_m);
  field("air_degc", gauge.air_degc);
  field("humidity_percent", gauge.humidity_percent);
  field("water_degc", gauge.water_degc);
  field("fault", gauge.fault);
  field("monotonic_ns", gauge.monotonic_ns);
}
void visit(auto&& field, Like<LineStatus> auto& line) {
  field("id", line.id);
  field("open", line.open);
  field("trouble", line.trouble);
  field("answered", line.answered);
  field("failed", line.failed);
}
void visit(auto&& field, Like<ScanStatus> auto& scan) {
  field("scans", scan.scans);
  field("missed", scan.missed);
  field("worst_delay_ms", scan.worst_delay_ms);
}
void visit(auto&& field, Like<EventStatus> auto& event) {
  field("at", event.at);
  field("seq", event.seq);
  field("kind", event.kind);
  field("of", event.of);
  field("cause", event.cause);
  field("text", event.text);
}
void visit(auto&& field, Like<Snapshot> auto& site) {
  field("site", site.site);
  field("name", site.name);
  field("version", site.version);
  field("configuration_crc_32", site.configuration_crc_32);
  field("at", site.at);
  field("broker", site.broker);
  field("scan", site.scan);
  field("tanks", site.tanks);
  field("alarms", site.alarms);
  field("alarm_figures", site.alarm_figures);
  field("pumps", site.pumps);
  field("annunciators", site.annunciators);
  field("lines", site.lines);
  field("gauges", site.gauges);
  field("events", site.events);
}

struct Writer {
  Json& to;
  void operator()(const char* name, const auto& value) const { to[name] = write(value); }

  static Json write(const std::string& value) { return value; }
  static Json write(bool value) { return value; }
  static Json write(std::uint64_t value) { return value; }
  static Json write(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }
  static Json write(Stamp value) { return stillwell::to_text(value); }
  template <class T>
  static Json write(const std::optional<T>& value) {
    return value ? write(*value) : Json(nullptr);
  }
  template <class T>
  static Json write(const std::vector<T>& values) {
    Json array = Json::array();
    for (const auto& value : values)
      array.push_back(write(value));
    return array;
  }
  template <class T>
  requires std::is_aggregate_v<T>
  static Json write(const T& value) {
    Json object = Json::object();
    visit(Writer{object}, value);
    return object;
  }
};

/// Throws std::runtime_error, caught at the edge of this file, with the name of the field.
struct Reader {
  const Json& from;
  void operator()(const char* name, auto& value) const {
    const auto found = from.find(name);
    if (found == from.end() || !read(*found, value)) {
      throw std::runtime_error{std::string{"the field `"} + name + "` is missing or of the wrong kind"};
    }
  }

  static bool read(const Json& json, std::string& value) {
    if (json.is_string()) value = json.get<std::string>();
    return json.is_string();
  }
  static bool read(const Json& json, bool& value) {
    if (json.is_boolean()) value = json.get<bool>();
    return json.is_boolean();
  }
  static bool read(const Json& json, std::uint64_t& value) {
    if (json.is_number_unsigned()) value = json.get<std::uint64_t>();
    return json.is_number_unsigned();
  }
  static bool read(const Json& json, double& value) {
    if (json.is_number()) value = json.get<double>();
    return json.is_number();
  }
  static bool read(const Json& json, Stamp& value) {
    const auto stamp = json.is_string() ? parse_stamp(json.get<std::string>()) : std::nullopt;
    if (stamp) value = *stamp;
    return stamp.has_value();
  }
  template <class T>
  static bool read(const Json& json, std::optional<T>& value) {
    value.reset();
    return json.is_null() || read(json, value.emplace());
  }
  template <class T>
  static bool read(const Json& json, std::vector<T>& values) {
    if (!json.is_array()) return false;
    for (const auto& each : json) {
      if (!read(each, values.emplace_back())) return false;
    }
    return true;
  }
  template <class T>
  requires std::is_aggregate_v<T>
  static bool read(const Json& json, T& value) {
    if (json.is_object()) visit(Reader{json}, value);
    return json.is_object();
  }
};

}  // namespace

std::string to_json(const Snapshot& snapshot) {
  return Writer::write(snapshot).dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<Snapshot> parse_snapshot(std::string_view json) {
  const auto parsed = Json::parse(json, nullptr, false);
  if (parsed.is_discarded()) return Failure{"not JSON"};
  try {
    Snapshot result;
    if (!Reader::read(parsed, result)) return Failure{"not a JSON object"};
    return result;
  } catch (const std::exception& problem) {
    return Failure{problem.what()};
  }
}

}  // namespace stillwell::report
