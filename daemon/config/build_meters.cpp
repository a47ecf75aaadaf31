#include "stillwell/config/build.hpp"
#include "stillwell/reading/load_unit.hpp"

#include <map>

namespace stillwell::config {
namespace {

/// Whether a key was written in watts or in amperes; empty when it is absent or was wrong.
std::optional<LoadKind> kind_of(const Checked& section, std::string_view key) {
  if (section.get<Watts>(key)) return LoadKind::power;
  if (section.get<Amperes>(key)) return LoadKind::current;
  return {};
}

/// A scale whose points are of two kinds.
void expect_one_kind(Build& build, const Checked& section) {
  const std::vector<Checked>& points = section.all("scale");
  if (points.size() != 2) return;
  const auto first = kind_of(points[0], "value");
  const auto second = kind_of(points[1], "value");
  if (!first || !second || *first == *second) return;
  build.tell(points[1].at("value"), "in " + std::string(unit_of(*second)) + ", and the first point is in " +
                                        std::string(unit_of(*first)) + "; a meter shows one of them");
}

MeterWiring build_wiring(Build& build, const Checked& section, LoadKind kind) {
  MeterWiring wiring;
  wiring.line = {build.refer(section, "line", "lines").value_or(0)};
  wiring.every = value_or<Duration>(section, "every");
  wiring.station = static_cast<int>(value_or<std::int64_t>(section, "station", 1));
  wiring.number = build_load(build, section, kind);
  expect_carries(build, section, wiring.line, Carries::modbus);
  if (section.has("unit") && wiring.number.unit <= 0.0)
    build.tell(section.at("unit"), "every count would be worth nothing, or less; expected more than 0 " +
                                       std::string(unit_of(kind)));
  return wiring;
}

/// Where a pump names its meter; nullptr when it has none.
const Checked* guard_of(const Checked& pump) {
  const Checked* guards = pump.part("dry_run");
  const Checked* power = guards == nullptr ? nullptr : guards->part("power");
  return power != nullptr && power->has("meter") ? power : nullptr;
}

}  // namespace

std::optional<LoadKind> load_kind_of(const Checked& meter) {
  if (meter.has("unit")) return kind_of(meter, "unit");
  const std::vector<Checked>& points = meter.all("scale");
  if (points.size() != 2) return {};
  const auto kind = kind_of(points[0], "value");
  return kind == kind_of(points[1], "value") ? kind : std::nullopt;
}

void build_meters(Build& build) {
  for (const Checked& section : build.root.named("meters")) {
    const LoadKind kind = load_kind_of(section).value_or(LoadKind::power);
    expect_one_kind(build, section);
    build.out.wiring.meters.push_back(build_wiring(build, section, kind));
    const Duration every = build.out.wiring.meters.back().every;
    build.out.model.meters.push_back(
        {section.id, {.kind = kind, .stale_after = stale_after(build, section, every)}});
  }
}

void check_meters(Build& build) {
  std::map<std::size_t, std::string> pumps_by_meter;
  for (const Checked& pump : build.root.named("pumps")) {
    const Checked* guard = guard_of(pump);
    if (guard == nullptr) continue;
    const auto meter = build.refer(*guard, "meter", "meters");
    if (!meter) return;  // that is told already, and may be why a meter seems to be read by nobody
    const auto [first, is_new] = pumps_by_meter.emplace(*meter, pump.id);
    if (!is_new)
      build.tell(guard->at("meter"), "pump '" + first->second +
                                         "' already has this meter; it would take one motor for the other");
  }
  const std::vector<Checked>& meters = build.root.named("meters");
  for (std::size_t at = 0; at < meters.size(); ++at) {
    if (pumps_by_meter.contains(at)) continue;
    build.tell(meters[at].spot,
               "no pump reads it, so it guards nothing; name it in dry_run.power.meter, or "
               "remove it");
  }
}

}  // namespace stillwell::config
