#include "stillwell/config/build.hpp"

#include <algorithm>
#include <map>

namespace stillwell::config {
namespace {

/// A set on its way from the file to the model.
struct SetBuild {
  Build& build;
  const Checked& section;
  PumpSet set;
  SetLevels levels;

  [[nodiscard]] const Checked& pump(PumpIndex index) const { return build.root.named("pumps")[index.at]; }
  /// The keys that every member must say alike are asked of the first.
  [[nodiscard]] const Checked& first() const { return pump(set.pumps.front()); }
  [[nodiscard]] bool is_fill() const { return first().get<std::string>("duty") != "drain"; }
};

void take_members(SetBuild& it, std::map<std::size_t, std::string>& sets_by_pump) {
  for (const Value& value : it.section.list("pumps")) {
    const auto& id = std::get<std::string>(value);
    const auto position = it.build.root.position("pumps", id);
    if (!position) continue;
    const auto [first, is_new] = sets_by_pump.emplace(*position, it.section.id);
    if (is_new)
      it.set.pumps.push_back({*position});
    else
      it.build.tell(it.section.at("pumps"), "pump '" + id + "' is in set '" + first->second + "' already");
  }
  it.build.sets_are_clear = it.build.sets_are_clear && it.set.pumps.size() > 1;
}

/// One duty: what the first says of it, all say.
bool share_one_duty(SetBuild& it) {
  bool alike = true;
  for (const PumpIndex member : it.set.pumps) {
    const Checked& pump = it.pump(member);
    for (const std::string_view key : {"duty", "tank"}) {
      const auto word = pump.get<std::string>(key);
      const auto firsts = it.first().get<std::string>(key);
      if (!word || !firsts) return false;  // told already
      if (word == firsts) continue;
      it.build.tell(pump.at(key), "'" + it.first().id + "', of the same set '" + it.set.id + "', has " +
                                      std::string(key) + ": " + *firsts + "; a set has one duty at one tank");
      alike = false;
      break;
    }
  }
  return alike;
}

/// Whoever needs another of its set waits for a turn that its own turn keeps from coming.
void refuse_needs_within(SetBuild& it) {
  for (const PumpIndex member : it.set.pumps) {
    for (const Value& value : it.pump(member).list("needs")) {
      const auto needed = it.build.root.position("pumps", std::get<std::string>(value));
      if (needed && std::ranges::find(it.set.pumps, PumpIndex{*needed}) != it.set.pumps.end())
        it.build.tell(it.pump(member).at("needs"), "'" + std::get<std::string>(value) +
                                                       "' is of the same set '" + it.set.id +
                                                       "', and each would wait for the other");
    }
  }
}

void refuse_own_levels(SetBuild& it) {
  for (const PumpIndex member : it.set.pumps) {
    for (const std::string_view key : {"start_at", "stop_at"}) {
      if (it.pump(member).has(key))
        it.build.tell(it.pump(member).at(key),
                      "belongs to the set '" + it.set.id + "' that the pump is in; leave it out here");
    }
  }
}

void refuse_levels(SetBuild& it, const Tank& tank) {
  const std::string high = it.is_fill() ? "; leave it out" : "; leave it out: floats.high calls the second";
  for (const std::string_view key : {"start_at", "stop_at", "second_at"}) {
    if (it.section.has(key))
      it.build.tell(it.section.at(key), "tank '" + tank.id +
                                            "' is kept by floats, and nobody knows its level" +
                                            (key == "second_at" ? high : "; leave it out"));
  }
}

void expect_order(SetBuild& it, std::string_view key, Metres level, Metres start, bool must_be_above) {
  const bool in_order = must_be_above ? level > start : level < start;
  if (in_order) return;
  const std::string what = key == "stop_at" ? "stops" : "calls its second pump";
  it.build.tell(it.section.at(key),
                "out of order: a set that " + std::string(it.is_fill() ? "fills " : "drains ") + what +
                    (must_be_above ? " above" : " below") + " its start_at (" + to_text(start) + ", " +
                    std::string(key) + " is " + to_text(level) + ")");
}

void take_set_levels(SetBuild& it, TankIndex tank) {
  refuse_own_levels(it);
  for (const std::string_view key : {"start_at", "stop_at"}) {
    if (!it.section.has(key))
      it.build.tell(it.section.spot, "missing key '" + std::string(key) + "': a level of tank '" +
                                         it.build.out.model.tanks.at(tank.at).id + "'");
  }
  it.levels = {level_at(it.build, it.section, "start_at", tank),
               level_at(it.build, it.section, "stop_at", tank)};
  it.set.second_level = level_at(it.build, it.section, "second_at", tank);
  if (!it.levels.start) return;
  const Metres start = *it.levels.start;
  if (it.levels.stop) expect_order(it, "stop_at", *it.levels.stop, start, it.is_fill());
  if (it.set.second_level) expect_order(it, "second_at", *it.set.second_level, start, !it.is_fill());
}

void take_duty(SetBuild& it) {
  if (it.set.pumps.empty() || !share_one_duty(it)) return;
  refuse_needs_within(it);
  const auto tank = it.build.root.position("tanks", *it.first().get<std::string>("tank"));
  if (!tank) return;
  if (it.build.root.named("tanks")[*tank].has("floats"))
    refuse_levels(it, it.build.out.model.tanks.at(*tank));
  else
    take_set_levels(it, {*tank});
}

}  // namespace

void build_pump_sets(Build& build) {
  std::map<std::size_t, std::string> sets_by_pump;
  for (const Checked& section : build.root.named("pump_sets")) {
    SetBuild it{build, section, {.id = section.id, .pumps = {}}, {}};
    if (value_or<std::string>(section, "order") == "fixed") it.set.order = SetOrder::fixed;
    take_members(it, sets_by_pump);
    take_duty(it);
    build.out.model.sets.push_back(std::move(it.set));
    build.set_levels.push_back(it.levels);
  }
}

}  // namespace stillwell::config
