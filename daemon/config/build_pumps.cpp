#include "stillwell/config/pump_build.hpp"
#include "stillwell/quantity/listed.hpp"

#include <algorithm>
#include <map>

namespace stillwell::config {
namespace {

constexpr double kHighTripOfSpan = 0.02;  // rule 7

void take_tanks(PumpBuild& it) {
  it.pump.tank = {it.build.refer(it.section, "tank", "tanks").value_or(0)};
  if (const auto source = it.build.refer(it.section, "from", "tanks")) it.pump.source = TankIndex{*source};
  if (const auto receiver = it.build.refer(it.section, "to", "tanks"))
    it.pump.receiver = TankIndex{*receiver};
  for (const std::string_view key : {"from", "to"}) {
    const auto other = it.section.get<std::string>(key);
    if (other && other == it.section.get<std::string>("tank")) {
      it.build.tell(it.section.at(key),
                    "is the pump's own tank; water must come from somewhere else than it goes");
    }
  }
  if (!it.is_fill()) it.pump.source = it.pump.tank;
  it.pump.source_is_measured = !it.pump.source || !it.is_by_floats(*it.pump.source);
}

/// The floats of its tank are its start and stop; nothing else can be said of a level there.
void take_floats(PumpBuild& it) {
  const Tank& tank = it.tank(it.pump.tank);
  it.pump.floats = tank.floats;
  for (const std::string_view key : {"start_at", "stop_at"}) {
    if (it.section.has(key))
      it.build.tell(it.section.at(key), "tank '" + tank.id +
                                            "' is kept by floats, and nobody knows its level; "
                                            "leave it out: floats.start and floats.stop say when");
  }
}

/// What is wrong with them is told of the set.
void take_levels_of(PumpBuild& it, const SetLevels& levels) {
  it.pump.start_level = levels.start.value_or(Metres{});
  it.pump.stop_level = levels.stop.value_or(Metres{});
}

void take_levels(PumpBuild& it) {
  if (it.is_by_floats(it.pump.tank)) return take_floats(it);
  if (const auto set = it.set()) return take_levels_of(it, it.build.set_levels[*set]);
  if (!it.build.sets_are_clear && !it.section.has("start_at") && !it.section.has("stop_at")) return;
  for (const std::string_view key : {"start_at", "stop_at"}) {
    if (!it.section.has(key))
      it.build.tell(it.section.spot, "missing key '" + std::string(key) + "': a level of tank '" +
                                         it.tank(it.pump.tank).id + "'");
  }
  const auto start = level_at(it.build, it.section, "start_at", it.pump.tank);
  const auto stop = level_at(it.build, it.section, "stop_at", it.pump.tank);
  if (!start || !stop) return;
  it.pump.start_level = *start;
  it.pump.stop_level = *stop;
  const bool in_order = it.is_fill() ? *start < *stop : *start > *stop;
  if (in_order) return;
  it.build.tell(it.section.at("stop_at"),
                "out of order: a pump that " +
                    std::string(it.is_fill() ? "fills stops above" : "drains stops below") +
                    " its start_at (" + to_text(*start) + ", stop_at is " + to_text(*stop) + ")");
}

/// A tank that is kept by floats has no high level; it may have a high float.
void refuse_high_trip(PumpBuild& it, const Checked& trips, TankIndex tank) {
  const std::string why = "tank '" + it.tank(tank).id + "' is kept by floats, and nobody knows its level; ";
  if (!it.is_fill())
    it.build.tell(it.section.at("to"), why + "leave it out and give a float there as trips.float");
  else if (trips.has("high"))
    it.build.tell(trips.at("high"), why + "hang a float there and give it as floats.high of the tank");
}

/// Fill: of its own tank, by default a little above the stop level. Drain: of the receiver, and only where
/// one is named (rule 9).
void take_high_trip(PumpBuild& it, const Checked& trips) {
  if (!it.is_fill() && !it.pump.receiver) {
    if (trips.has("high"))
      it.build.tell(trips.at("high"), "a drain pump trips on the level of its receiver; name it with to");
    return;
  }
  const TankIndex tank = it.is_fill() ? it.pump.tank : *it.pump.receiver;
  if (it.is_by_floats(tank)) return refuse_high_trip(it, trips, tank);
  it.pump.high_trip = level_at(it.build, trips, "high", tank);
  if (!it.is_fill() && !trips.has("high")) {
    it.build.tell(it.section.at("to"),
                  "expected trips.high too: the level of '" + it.tank(tank).id + "' that stops the pump");
  }
  const bool knows_stop = it.pump.stop_level > Metres{0.0};
  if (!it.is_fill() || !knows_stop) return;
  if (!trips.has("high")) {
    it.pump.high_trip = it.pump.stop_level + it.tank(tank).full() * kHighTripOfSpan;
  } else if (it.pump.high_trip && *it.pump.high_trip <= it.pump.stop_level) {
    it.build.tell(trips.at("high"), "out of order: the trip (" + to_text(*it.pump.high_trip) +
                                        ") must lie above stop_at (" + to_text(it.pump.stop_level) + ")");
  }
}

/// A trip: a wire that breaks must trip the pump, not blind its guard.
std::optional<SwitchIndex> take_trip_switch(PumpBuild& it, const Checked& section, std::string_view key) {
  return take_switch(it, section, key, true);
}

void take_feedback(PumpBuild& it, const Checked& section) {
  const auto position = it.build.refer(section, "switch", "switches");
  const auto within = section.get<Duration>("within");
  if (!position || !within) return;
  it.pump.feedback = Feedback{SwitchIndex{*position}, *within};
  rely_on(it, SwitchIndex{*position}, section, "within");
}

void take_selector(PumpBuild& it, const Checked& section) {
  it.pump.selector.off = take_switch(it, section, "off", true);
  it.pump.selector.hand = take_switch(it, section, "hand", false);
  if (!section.has("off") && !section.has("hand"))
    it.build.tell(section.spot, "is empty; expected off, hand, or both");
}

void take_blind_runs(PumpBuild& it, const Checked& section) {
  const auto run_for = section.get<Duration>("run_for");
  const auto every = section.get<Duration>("every");
  if (!run_for || !every) return;
  it.pump.when_unknown = BlindRuns{*run_for, *every};
  if (*run_for >= *every)
    it.build.tell(section.at("run_for"), "expected less than every (" + to_text(*every) +
                                             "); a pump that never rests is not run blind");
}

/// By position, since one that stands below in the file is not built yet.
void take_needs(PumpBuild& it) {
  for (const Value& value : it.section.list("needs")) {
    const auto& id = std::get<std::string>(value);
    const auto position = it.build.root.position("pumps", id);
    if (!position) continue;
    const PumpIndex needed{*position};
    if (std::ranges::find(it.pump.needs, needed) != it.pump.needs.end())
      it.build.tell(it.section.at("needs"), "names '" + id + "' twice");
    it.pump.needs.push_back(needed);
  }
}

void take_limits(PumpBuild& it, const Checked& section) {
  PumpLimits& limits = it.pump.limits;
  limits.on_at_least = value_or<Duration>(section, "on_at_least");
  limits.off_at_least = value_or<Duration>(section, "off_at_least");
  limits.run_at_most = value_or<Duration>(section, "run_at_most");
  limits.after_power_up = value_or<Duration>(section, "after_power_up");
  limits.starts_per_hour = static_cast<int>(value_or<std::int64_t>(section, "starts_per_hour"));
  const bool limited = limits.run_at_most > Duration{0};
  if (limited && limits.run_at_most <= limits.on_at_least) {
    it.build.tell(section.at(section.has("run_at_most") ? "run_at_most" : "on_at_least"),
                  "out of order: run_at_most (" + to_text(limits.run_at_most) +
                      ") must be longer than on_at_least (" + to_text(limits.on_at_least) + ")");
  }
}

void take_motor(PumpBuild& it, const Checked& section) {
  const auto rated = section.get<Watts>("rated");
  const auto poles = section.get<std::int64_t>("poles");
  if (!rated || !poles) return;
  it.pump.motor = MotorPlate{*rated, static_cast<int>(*poles)};
  if (starts_of(*it.pump.motor)) return;
  it.build.tell(section.at("poles"),
                "expected 2, 4 or 6: the table of starts knows no other motor; leave motor out");
}

/// Rule 13. An isolator must open for a motor that is stuck on, so it is asked too.
void expect_known_failure(PumpBuild& it, const Checked& contact, std::string_view does = "switches") {
  if (contact.has("refresh") || contact.has("fails_off")) return;
  const bool on_pin = contact.has("board");
  it.build.tell(contact.spot, std::string("expected ") +
                                  (on_pin ? "fails_off (refresh is for a relay module; a pin has no "
                                            "timer)"
                                          : "exactly one of refresh | fails_off") +
                                  ": it " + std::string(does) + " pump '" + it.pump.id +
                                  "', and somebody must know what stops that when nobody reaches the relay");
}

/// One contact belongs to one pump.
void claim(PumpBuild& it, std::string_view key, std::size_t contact,
           std::map<std::size_t, std::string>& pumps_by_contact) {
  const auto [first, is_new] = pumps_by_contact.emplace(contact, it.pump.id);
  if (!is_new) it.build.tell(it.section.at(key), "pump '" + first->second + "' already has this contact");
}

void take_isolator(PumpBuild& it, std::map<std::size_t, std::string>& pumps_by_contact) {
  const auto position = it.build.refer(it.section, "isolator", "contacts");
  if (!position) return;
  it.pump.isolator = Isolator{{*position}, confirmed_within(it.build.out.wiring.contacts.at(*position))};
  it.build.out.wiring.contacts.at(*position).drives_motor = true;
  expect_known_failure(it, it.build.root.named("contacts")[*position], "isolates");
  claim(it, "isolator", *position, pumps_by_contact);
}

void take_contact(PumpBuild& it, std::map<std::size_t, std::string>& pumps_by_contact) {
  const auto position = it.build.refer(it.section, "contact", "contacts");
  if (!position) return;
  it.pump.contact = {*position};
  it.build.out.wiring.contacts.at(*position).drives_motor = true;
  it.pump.contact_within = confirmed_within(it.build.out.wiring.contacts.at(*position));
  expect_known_failure(it, it.build.root.named("contacts")[*position]);
  claim(it, "contact", *position, pumps_by_contact);
}

void take_parts(PumpBuild& it) {
  if (const Checked* trips = it.section.part("trips")) {
    take_high_trip(it, *trips);
    it.pump.float_trip = take_trip_switch(it, *trips, "float");
  }
  it.pump.source_float = take_trip_switch(it, it.section, "source_float");
  take_dry_run(it);
  take_unasked(it);
  if (const Checked* feedback = it.section.part("feedback")) take_feedback(it, *feedback);
  if (const Checked* selector = it.section.part("selector")) take_selector(it, *selector);
  if (const Checked* blind = it.section.part("when_unknown")) take_blind_runs(it, *blind);
  if (const Checked* limits = it.section.part("limits")) take_limits(it, *limits);
  if (const Checked* motor = it.section.part("motor")) take_motor(it, *motor);
}

Pump build_pump(Build& build, const Checked& section, PumpIndex index,
                std::map<std::size_t, std::string>& pumps_by_contact) {
  PumpBuild it{build, section, index, {}};
  it.pump.id = section.id;
  it.pump.name = value_or<std::string>(section, "name", section.id);
  it.pump.duty = value_or<std::string>(section, "duty") == "drain" ? Duty::drain : Duty::fill;
  it.pump.drive = value_or<std::string>(section, "kind") == "valve" ? Drive::valve : Drive::pump;
  it.pump.hand_for = value_or<Duration>(section, "hand_for", it.pump.hand_for);
  it.pump.flow_rate = section.get<LitresPerSecond>("flow_rate");
  it.pump.first_mode = value_or<std::string>(section, "mode") == "off" ? Mode::off : Mode::automatic;
  for (const Value& window : section.list("allowed"))
    it.pump.allowed.push_back(std::get<DayWindow>(window));
  take_contact(it, pumps_by_contact);
  take_isolator(it, pumps_by_contact);
  take_needs(it);
  if (!section.get<std::string>("tank") || !section.get<std::string>("duty")) return std::move(it.pump);
  take_tanks(it);
  take_levels(it);
  take_parts(it);
  return std::move(it.pump);
}

/// A pump that is, at any remove, needed by what it needs itself, and those between: then none of them ever
/// starts. Empty when it is not.
std::vector<std::string> circle_of(const std::vector<Pump>& pumps, std::size_t start) {
  std::map<std::size_t, std::size_t> needed_by;
  std::vector<std::size_t> open{start};
  while (!open.empty()) {
    const std::size_t at = open.back();
    open.pop_back();
    for (const PumpIndex next : pumps[at].needs) {
      if (!needed_by.emplace(next.at, at).second) continue;
      open.push_back(next.at);
    }
  }
  if (!needed_by.contains(start)) return {};
  std::vector<std::string> ids{pumps[start].id};
  for (std::size_t at = needed_by.at(start); at != start; at = needed_by.at(at))
    ids.insert(ids.begin() + 1, pumps[at].id);
  return ids;
}

}  // namespace

std::optional<SwitchIndex> take_switch(PumpBuild& it, const Checked& section, std::string_view key,
                                       bool broken_is_on) {
  return switch_at(it.build, section, key, broken_is_on, broken_is_on ? "a trip" : "this");
}

void build_pumps(Build& build) {
  std::map<std::size_t, std::string> pumps_by_contact;
  for (const Checked& section : build.root.named("pumps")) {
    const PumpIndex index{build.out.model.pumps.size()};
    build.out.model.pumps.push_back(build_pump(build, section, index, pumps_by_contact));
  }
  for (std::size_t at = 0; at < build.out.model.pumps.size(); ++at) {
    const auto circle = circle_of(build.out.model.pumps, at);
    if (!circle.empty())
      build.tell(build.root.named("pumps")[at].at("needs"), "goes round in a circle (" + listed(circle) +
                                                                ", and " + circle.front() +
                                                                " again): none of them would start");
  }
}

}  // namespace stillwell::config
