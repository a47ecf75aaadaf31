#include "stillwell/config/build.hpp"

#include <map>

namespace stillwell::config {
namespace {

// Where the site says nothing: under a roof in the sun, in a frosty night.
constexpr TemperatureRange kAir{Celsius{-10.0}, Celsius{50.0}};
constexpr TemperatureRange kWater{Celsius{0.0}, Celsius{30.0}};

/// The site's stated range, coldest first.
TemperatureRange range_of(const Build& build, std::string_view key, TemperatureRange otherwise) {
  const Checked* site = build.root.part("site");
  const auto ends = site == nullptr ? std::vector<Value>{} : site->list(key);
  if (ends.size() != 2) return otherwise;
  return {std::get<Celsius>(ends[0]), std::get<Celsius>(ends[1])};
}

Correction build_correction(const Build& build, const Checked& section) {
  Correction correction;
  correction.assumes = section.get<Celsius>("assumes");
  correction.air = range_of(build, "air", kAir);
  if (section.has("water")) correction.water = range_of(build, "water", kWater);
  return correction;
}

GaugeRules build_rules(Build& build, const Checked& section, Duration every) {
  GaugeRules rules;
  rules.measures = number_key(section) == "distance" ? Measures::distance : Measures::depth;
  rules.blanking = value_or<Metres>(section, "blanking");
  rules.reach = section.get<Metres>("reach");
  rules.beam = section.get<Degrees>("beam");
  rules.stale_after = stale_after(build, section, every);
  rules.correction = build_correction(build, section);
  if (rules.reach && *rules.reach <= rules.blanking) {
    build.tell(section.at("reach"),
               "the sensor would see nothing; expected more than blanking (" + to_text(rules.blanking) + ")");
  }
  return rules;
}

GaugeWiring build_wiring(Build& build, const Checked& section) {
  GaugeWiring wiring;
  wiring.line = {build.refer(section, "line", "lines").value_or(0)};
  wiring.every = value_or<Duration>(section, "every");
  if (const Checked* frame = section.part("frame")) {
    wiring.source = build_frame(build, *frame);
    expect_carries(build, section, wiring.line, Carries::range_frames);
    return wiring;
  }
  if (section.part(number_key(section)) == nullptr) return wiring;
  wiring.source = build_modbus_gauge(build, section);
  expect_carries(build, section, wiring.line, Carries::modbus);
  return wiring;
}

}  // namespace

void build_gauges(Build& build) {
  std::map<std::size_t, std::string> frame_gauges;  // nothing in a range frame says which sensor sent it
  for (const Checked& section : build.root.named("gauges")) {
    GaugeWiring wiring = build_wiring(build, section);
    build.out.model.gauges.push_back({section.id, build_rules(build, section, wiring.every), wiring.line});
    if (section.has("frame") && section.get<std::string>("line")) {
      const auto [first, is_new] = frame_gauges.emplace(wiring.line.at, section.id);
      if (!is_new) {
        build.tell(
            section.at("line"),
            "gauge '" + first->second + "' already has this line; a line of range frames carries one sensor");
      }
    }
    build.out.wiring.gauges.push_back(std::move(wiring));
  }
}

}  // namespace stillwell::config
