#include "stillwell/site/solve.hpp"

#include "stillwell/site/alarms.hpp"
#include "stillwell/site/annunciators.hpp"
#include "stillwell/site/commands.hpp"
#include "stillwell/site/consequences.hpp"
#include "stillwell/site/float_levels.hpp"
#include "stillwell/site/flood.hpp"
#include "stillwell/site/levels.hpp"
#include "stillwell/site/meters.hpp"
#include "stillwell/site/proof.hpp"
#include "stillwell/site/pumps.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>
#include <tuple>

namespace stillwell {
namespace {

/// One scan in the making. The functions below are its steps, in the order in which solve() calls them.
struct Scan {
  const Model& model;
  Memory& memory;
  const InputImage& image;
  Instant now;
  Outcome outcome;
  std::vector<SwitchState> switches;
  std::vector<MeterState> meters;
  std::vector<Level> levels;       ///< by tank
  std::vector<AlarmState> before;  ///< of every alarm, before this scan
};

std::vector<AlarmState> states_of(const std::vector<AlarmMemory>& alarms) {
  std::vector<AlarmState> states;
  states.reserve(alarms.size());
  for (const AlarmMemory& alarm : alarms)
    states.push_back(alarm.state);
  return states;
}

void read_switches(Scan& scan) {
  for (std::size_t at = 0; at < scan.model.switches.size(); ++at) {
    scan.switches.push_back(follow(scan.memory.switches[at], at_or_none(scan.image.readings.switches, at),
                                   scan.model.switches[at].rules, scan.now));
  }
}

void read_meters(Scan& scan) {
  for (std::size_t at = 0; at < scan.model.meters.size(); ++at) {
    scan.meters.push_back(follow(scan.memory.meters[at], at_or_none(scan.image.readings.meters, at),
                                 scan.model.meters[at].rules, scan.now));
  }
}

void read_the_levels(Scan& scan) {
  const Readings& readings = scan.image.readings;
  const auto running = motors(scan.model, readings, scan.switches, scan.memory.pumps);
  scan.levels = read_levels(scan.model, scan.memory, readings, running, scan.now);
}

/// What is seen while a person works in it is nobody's level. After the commands, so that a tank that is back
/// in service is judged by its water and not by the absence of it.
void mind_service(Scan& scan) {
  for (std::size_t at = 0; at < scan.levels.size(); ++at) {
    if (scan.memory.tanks_out[at]) scan.levels[at] = Level::bad(Reason::out_of_service, scan.levels[at].at);
  }
}

Event tell_quality(const Scan& scan, std::size_t at, const Level& before) {
  const Tank& tank = scan.model.tanks[at];
  if (tank.floats)
    return tell_quality(tank, scan.levels[at], tell_floats(scan.model, scan.memory, *tank.floats, scan.now));
  return tell_quality(tank, before, scan.levels[at], tell_refused(scan.model, refused(tank, scan.memory)));
}

void tell_changes_of_quality(Scan& scan) {
  for (std::size_t at = 0; at < scan.levels.size(); ++at) {
    Level& before = scan.memory.levels[at];
    const Level& level = scan.levels[at];
    if (level.quality != before.quality) scan.outcome.events.push_back(tell_quality(scan, at, before));
    before = level;
  }
}

void obey_commands(Scan& scan) {
  for (const Command& command : scan.image.commands)
    obey(scan.model, scan.memory, scan.image, command, scan.outcome);
}

void keep_accounts(Scan& scan) {
  keep_accounts(scan.model, scan.memory.accounts,
                {.now = scan.now,
                 .local = scan.image.local,
                 .levels = scan.levels,
                 .switches = scan.switches,
                 .meters = scan.meters,
                 .contacts = scan.image.readings.contacts},
                scan.outcome.events);
}

void follow_lines(Scan& scan) {
  for (std::size_t at = 0; at < scan.memory.lines.size(); ++at)
    follow(scan.memory.lines[at], at_or_none(scan.image.readings.lines, at));
}

/// An alarm of which nobody has heard leaves and comes back as silently as it was: why is told by the command
/// that put its tank or pump out of service, or by the alarm that suppresses it.
bool is_news(const AlarmMemory& alarm) {
  using enum AlarmState;
  const bool is_quiet = alarm.state == normal || alarm.state == suppressed || alarm.state == out_of_service;
  return alarm.heard || !is_quiet;
}

/// What of an alarm must outlive a power cut, also when nobody is told.
auto guarded(const AlarmMemory& alarm) {
  return std::tuple{alarm.state, alarm.active, alarm.unreset};
}

/// Every condition first, then every state, then the story: what one alarm is, another may be put aside by or
/// told as the consequence of.
void follow_alarms(Scan& scan) {
  const AlarmSight sight{scan.model, scan.memory, scan.image, scan.levels, scan.now};
  std::vector<std::size_t> news;
  std::vector<std::tuple<AlarmState, bool, bool>> before;
  for (std::size_t at = 0; at < scan.model.alarms.size(); ++at) {
    const Alarm& alarm = scan.model.alarms[at];
    AlarmMemory& memory = scan.memory.alarms[at];
    before.push_back(guarded(memory));
    judge(memory, alarm, holds(sight, alarm, memory.active), scan.now);
  }
  for (std::size_t at = 0; at < scan.model.alarms.size(); ++at) {
    const Alarm& alarm = scan.model.alarms[at];
    AlarmMemory& memory = scan.memory.alarms[at];
    if (settle(memory, alarm, aside_of(sight, alarm), scan.now) && is_news(memory)) news.push_back(at);
    if (guarded(memory) != before[at]) scan.outcome.must_be_kept = true;
  }
  for (const std::size_t at : news) {
    scan.outcome.events.push_back(tell(sight, at));
    scan.memory.alarms[at].heard = scan.memory.alarms[at].state != AlarmState::normal;
  }
}

void sound_annunciators(Scan& scan) {
  sound_annunciators(scan.model, scan.memory,
                     {.now = scan.now,
                      .before = scan.before,
                      .switches = scan.switches,
                      .contacts = scan.image.readings.contacts},
                     scan.outcome);
}

void show_alarms(Scan& scan) {
  for (std::size_t at = 0; at < scan.model.alarms.size(); ++at) {
    const AlarmMemory& memory = scan.memory.alarms[at];
    scan.outcome.view.alarms.push_back({.state = memory.state,
                                        .since = memory.since,
                                        .shelf = memory.shelf,
                                        .brought_by = brought_by(scan.model, scan.memory, at),
                                        .raised_today = raised_within(memory, kDay, scan.now)});
  }
  scan.outcome.view.alarm_figures =
      alarm_figures(scan.model.alarms, scan.memory.alarms, scan.memory.flood, scan.now);
}

void show_tanks(Scan& scan) {
  for (std::size_t at = 0; at < scan.model.tanks.size(); ++at) {
    const Tank& tank = scan.model.tanks[at];
    const Level& level = scan.levels[at];
    TankView view{.level = level, .contents = {}, .last_level = last_level(tank, scan.memory)};
    view.refused = refused(tank, scan.memory);
    view.out_of_service = scan.memory.tanks_out[at];
    if (tank.floats) view.floats = look(states_of(scan.model, scan.memory, *tank.floats, scan.now));
    SmoothedLevel& smoothed = scan.memory.smoothed[at];
    if (level.usable())
      view.contents = contents_at(tank, smooth(smoothed, tank, level));
    else
      smoothed = {};
    scan.outcome.view.tanks.push_back(view);
  }
  scan.outcome.view.lines = scan.image.readings.lines;
  scan.outcome.view.gauges = scan.image.readings.gauges;
}

void show_accounts(Scan& scan) {
  const Accounts& accounts = scan.memory.accounts;
  for (std::size_t at = 0; at < scan.model.tanks.size(); ++at) {
    scan.outcome.view.tanks[at].figures =
        figures_of(scan.model.tanks[at], accounts, {at}, scan.levels[at], scan.now);
  }
  for (std::size_t at = 0; at < scan.model.pumps.size(); ++at) {
    const auto& nameplate = scan.model.pumps[at].flow_rate;
    if (!nameplate) continue;
    scan.outcome.view.pumps[at].moved = accounts.pumps[at].moved;
    scan.outcome.view.pumps[at].wear = wear_ratio(accounts.pumps[at].wear, *nameplate);
  }
}

void show_motors(Scan& scan) {
  for (std::size_t at = 0; at < scan.model.pumps.size(); ++at) {
    const Pump& pump = scan.model.pumps[at];
    const auto meter = meter_of(pump);
    if (!meter) continue;
    MotorView motor{.kind = scan.model.meters[meter->at].rules.kind, .load = scan.meters[meter->at].load};
    if (watt_meter_of(scan.model, pump)) motor.used = scan.memory.accounts.pumps[at].energy.used;
    scan.outcome.view.pumps[at].motor = motor;
  }
}

}  // namespace

Memory remember_nothing(const Model& model) {
  Memory memory;
  memory.gauges.resize(model.gauges.size());
  memory.switches.resize(model.switches.size());
  memory.marks.resize(model.switches.size());
  memory.meters.resize(model.meters.size());
  memory.levels.resize(model.tanks.size());
  memory.smoothed.resize(model.tanks.size());
  memory.alarms.resize(model.alarms.size());
  memory.lines.resize(model.lines.size());
  memory.annunciators.resize(model.annunciators.size());
  memory.tanks_out.resize(model.tanks.size());
  for (const Pump& pump : model.pumps)
    memory.pumps.push_back({.mode = pump.first_mode});
  memory.sets.resize(model.sets.size());
  memory.accounts = open_accounts(model);
  return memory;
}

Outcome solve(const Model& model, Memory& memory, const InputImage& image, Instant now) {
  Scan scan{.model = model,
            .memory = memory,
            .image = image,
            .now = now,
            .outcome = {.at = now},
            .switches = {},
            .meters = {},
            .levels = {},
            .before = states_of(memory.alarms)};
  follow(memory.clock, image.wall, now);
  read_switches(scan);
  read_meters(scan);
  read_the_levels(scan);
  mind_proof(model, memory, scan.outcome);
  obey_commands(scan);
  mind_service(scan);
  tell_changes_of_quality(scan);
  keep_accounts(scan);
  solve_pumps(
      model, memory,
      {.image = image, .levels = scan.levels, .switches = scan.switches, .meters = scan.meters, .now = now},
      scan.outcome);
  follow_lines(scan);
  follow_alarms(scan);
  sound_annunciators(scan);
  follow_flood(model, memory, scan.outcome);
  show_alarms(scan);
  show_tanks(scan);
  show_accounts(scan);
  show_motors(scan);
  if (image.observing) std::fill(scan.outcome.contacts.begin(), scan.outcome.contacts.end(), Order::off);
  return std::move(scan.outcome);
}

}  // namespace stillwell
