#include "proof/history.hpp"

#include "stillwell/site/service.hpp"

#include <algorithm>
#include <array>

namespace proof {
namespace {

using namespace std::chrono_literals;
using support::Dice;

/// Metres at which the floats of a tank hang, from the lowest up.
constexpr std::array kFloats{0.6, 1.4, 1.9};

}  // namespace

History::History(const Model& model, Dice& dice, Tally& tally)
    : model_{model},
      dice_{dice},
      tally_{tally},
      memory_{remember_nothing(model)},
      waters_(model.tanks.size()),
      switches_(model.switches.size()),
      meters_(model.meters.size()),
      relays_(model.contacts.size()),
      dry_for_(model.pumps.size()),
      jams_for_(model.pumps.size()),
      ordered_(model.contacts.size(), Order::off),
      started_(model.pumps.size()),
      ahead_{std::chrono::minutes{dice.roll(1440)}},
      disk_fails_{dice.one_in(5)},
      handed_{keep(model, memory_, now_)} {
  for (const Pump& pump : model.pumps)
    watches_.emplace_back(pump);
  for (const PumpSet& set : model.sets)
    set_watches_.emplace_back(set);
  for (Water& water : waters_)
    water.level = dice.between(0.3, 2.3);
  on_disk_ = report::to_json(handed_);
  image_.durable = now_;
  image_.state_is_kept = !disk_fails_;
  ++tally_.sites;
}

/// Pumps move water, and taps and rain do.
void History::flow_on() {
  for (std::size_t at = 0; at < waters_.size(); ++at) {
    Water& water = waters_[at];
    if (dice_.one_in(60)) water.drift = dice_.between(-0.008, 0.008);
    double speed = water.drift;
    for (const Pump& pump : model_.pumps) {
      if (!relays_[pump.contact.at].closed) continue;
      if (delivery_of(pump) == TankIndex{at}) speed += 0.006;
      if (suction_of(pump) == TankIndex{at}) speed -= 0.006;
    }
    water.level = std::clamp(water.level + speed, 0.02, 2.48);
    if (dice_.one_in(3000)) water.error = dice_.between(-0.4, 0.4);
    if (dice_.one_in(100)) water.error = 0.0;
  }
}

void History::switch_relays() {
  for (std::size_t at = 0; at < relays_.size(); ++at) {
    Relay& relay = relays_[at];
    if (ordered_[at] != relay.last) {
      relay.last = ordered_[at];
      relay.lag = dice_.roll(3);
    }
    if (relay.closed && dice_.one_in(3000)) relay.dropped = true;  // a supply that browned out
    if (ordered_[at] == Order::off) relay.dropped = false;
    if (relay.stuck_for > 0) --relay.stuck_for;
    if (dice_.one_in(4000)) relay.stuck_for = dice_.roll(40);
    if (relay.lag > 0) {
      --relay.lag;
    } else if (relay.stuck_for == 0) {
      relay.closed = relay.last == Order::on && !relay.dropped;
    }
  }
}

bool History::troubled(int& lasts, int one_in, int at_most) {
  if (lasts > 0) --lasts;
  if (dice_.one_in(one_in)) lasts = dice_.roll(at_most);
  return lasts > 0;
}

void History::show(Wire& wire, bool on) {
  wire.on = on;
  if (wire.silent_for > 0) --wire.silent_for;
  if (dice_.one_in(4000)) wire.silent_for = dice_.roll(15);
  if (wire.silent_for > 0) return;
  wire.at = now_;
  wire.said = on;
}

void History::read() {
  Readings& readings = image_.readings;
  readings.gauges.resize(model_.gauges.size());
  for (Wire& wire : switches_)
    if (!dice_.one_in(20))
      show(wire, wire.on && !dice_.one_in(10));  // floats and panels fall back by themselves
  for (std::size_t at = 0; at < waters_.size(); ++at) {
    Water& water = waters_[at];
    if (water.silent_for > 0) --water.silent_for;
    if (dice_.one_in(3000)) water.silent_for = dice_.roll(120);
    if (water.silent_for > 0) continue;
    if (const auto& floats = model_.tanks[at].floats) {
      show(switches_[floats->lower.at], water.level > kFloats[0]);
      show(switches_[floats->upper.at], water.level > kFloats[1]);
      if (floats->high) show(switches_[floats->high->at], water.level > kFloats[2]);
      continue;
    }
    const TankGauge& gauge = model_.tanks[at].gauges.front();
    const double level = water.level + water.error + dice_.between(-0.002, 0.002);
    readings.gauges[gauge.gauge.at] = {
        .at = now_, .value = gauge.mounting.to_floor - Metres{level}, .fault = Reason::none};
  }
  for (std::size_t at = 0; at < model_.pumps.size(); ++at) {
    const Pump& pump = model_.pumps[at];
    const bool closed = relays_[pump.contact.at].closed;
    const bool has_power = !pump.isolator || relays_[pump.isolator->contact.at].closed;
    const bool runs = closed && has_power;
    const bool is_dry = troubled(dry_for_[at], 600, dice_.one_in(4) ? 600 : 40);
    const bool jams = troubled(jams_for_[at], 1000, 20);
    if (pump.feedback) show(switches_[pump.feedback->input.at], closed != jams);
    if (pump.dry_run.flow) show(switches_[pump.dry_run.flow->input.at], runs && !is_dry);
    if (pump.dry_run.power) show(meters_[pump.dry_run.power->meter.at], runs && !is_dry);
    for (const auto& rare : {pump.float_trip, pump.source_float, pump.selector.off, pump.selector.hand})
      if (rare && dice_.one_in(2500)) show(switches_[rare->at], true);
  }
  readings.switches.clear();
  for (std::size_t at = 0; at < switches_.size(); ++at) {
    const Wire& wire = switches_[at];
    const bool closed = wire.said != model_.switches[at].rules.active_low;
    readings.switches.push_back({wire.at, closed, Reason::none});
  }
  readings.meters.clear();
  for (const Wire& wire : meters_)
    readings.meters.push_back({wire.at, wire.said ? 800.0 : 5.0, Reason::none});
  readings.contacts.resize(relays_.size());
  for (std::size_t at = 0; at < relays_.size(); ++at) {
    show(relays_[at].wire, relays_[at].closed);
    if (relays_[at].wire.at == now_) readings.contacts[at] = {now_, relays_[at].closed, Reason::none};
  }
  if (dice_.one_in(2000)) {  // somebody sets the clock
    const Duration ahead{std::chrono::minutes{dice_.roll(1440)}};
    if (ahead != ahead_ && saw_clock_) stepped_at_ = now_;
    ahead_ = ahead;
  }
  image_.local.reset();
  image_.wall.reset();
  if (dice_.one_in(1000)) return;
  saw_clock_ = true;
  const Instant shown = now_ + ahead_;
  image_.wall = Stamp{std::chrono::duration_cast<std::chrono::milliseconds>(shown.time_since_epoch())};
  const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(shown.time_since_epoch()).count();
  image_.local = LocalTime{20000, static_cast<int>(minutes % 1440)};
}

void History::ask(CommandKind kind, std::size_t pump, const std::string& argument) {
  image_.commands.push_back(
      {.number = ++number_, .kind = kind, .target = model_.pumps[pump].id, .argument = argument});
}

bool History::has_working_fellow(std::size_t pump) const {
  const auto set = set_of(model_.sets, {pump});
  return set && std::ranges::any_of(model_.sets[*set].pumps, [&](PumpIndex one) {
           return one.at != pump && memory_.pumps[one.at].order == Order::on;
         });
}

/// Somebody switches the whole site off, and later puts all of it back at once.
void History::shift_ends_or_begins() {
  const bool all_off =
      std::ranges::all_of(memory_.pumps, [](const PumpMemory& pump) { return pump.mode == Mode::off; });
  if (!dice_.one_in(all_off ? 40 : 1500)) return;
  for (std::size_t pump = 0; pump < model_.pumps.size(); ++pump)
    ask(CommandKind::mode, pump, all_off ? "auto" : "off");
}

void History::people() {
  image_.commands.clear();
  shift_ends_or_begins();
  for (std::size_t pump = 0; pump < model_.pumps.size(); ++pump) {
    if (dice_.one_in(600)) ask(CommandKind::mode, pump, dice_.one_in(3) ? "off" : "auto");
    if (dice_.one_in(500)) ask(CommandKind::mode, pump, "hand");
    if (dice_.one_in(memory_.pumps[pump].lock_out ? 200 : 2000)) ask(CommandKind::reset, pump, "");
    if (dice_.one_in(6000)) release();
    if (dice_.one_in(memory_.pumps[pump].out_of_service ? 60 : 2000))
      ask(CommandKind::service, pump, memory_.pumps[pump].out_of_service ? "in" : "out");
    // Somebody puts a pump back while the other one of its set does the work.
    if (memory_.pumps[pump].mode == Mode::off && has_working_fellow(pump) && dice_.one_in(10))
      ask(CommandKind::mode, pump, "auto");
  }
}

void History::release() {
  image_.commands.push_back({.number = ++number_, .kind = CommandKind::release, .target = "all"});
}

void History::hear(const Answer& answer, std::size_t pump, const Command& command) {
  if (!answer.done) return;
  support::PumpWatch& watch = watches_[pump];
  if (command.kind == CommandKind::reset) watch.person_resets();
  if (command.kind != CommandKind::mode) return;
  if (command.argument == "hand") watch.person_sets_hand(now_ + model_.pumps[pump].hand_for);
  if (command.argument == "off") watch.person_sets(Mode::off);
  if (command.argument == "auto") watch.person_sets(Mode::automatic);
}

/// As the daemon keeps it: what guards is handed over when it changed, and the disk has it some scans later.
/// A person is answered, and a trip is acted on, when it has it.
void History::keep_state(const Outcome& outcome) {
  if (disk_fails_) return;
  const Kept kept = keep(model_, memory_, now_);
  if (!kept.guards_as(handed_)) {
    waiting_.push_back({report::to_json(kept), now_, dice_.roll(4)});
    handed_ = kept;
  }
  const bool settles = std::any_of(outcome.answers.begin(), outcome.answers.end(),
                                   [](const Answer& answer) { return answer.done; });
  while (!waiting_.empty() && (settles || --waiting_.front().lag < 0)) {
    on_disk_ = std::move(waiting_.front().text);
    image_.durable = waiting_.front().as_of;
    waiting_.pop_front();
  }
}

/// Another daemon begins with what the disk had.
void History::cut_power() {
  ++tally_.restarts;
  stepped_at_.reset();  // whoever begins sees a clock, and no step of it
  saw_clock_ = false;
  if (!waiting_.empty()) ++tally_.cut_short;
  const Duration away = std::chrono::milliseconds{1 + dice_.roll(20'000)};
  const auto kept = report::parse_kept(on_disk_);
  now_ += away;
  memory_ = remember_nothing(model_);
  restore(model_, kept.value(), memory_, now_, dice_.one_in(2) ? std::optional{away} : std::nullopt);
  waiting_.clear();
  handed_ = keep(model_, memory_, now_);
  on_disk_ = report::to_json(handed_);
  image_.durable = now_;
  image_.readings = {};
  for (auto* wires : {&switches_, &meters_})
    for (Wire& wire : *wires)
      wire = {.on = wire.on, .at = now_ - 1h};
  std::fill(ordered_.begin(), ordered_.end(), Order::off);
  // What the disk did not have yet is lost, but for what is on it before it is acted on: starts, and what
  // people were answered.
  for (std::size_t at = 0; at < watches_.size(); ++at) {
    const Kept& known = kept.value();
    const auto own = std::ranges::find(known.pumps, model_.pumps[at].id, &KeptPump::id);
    watches_[at].daemon_restarts(*own);
  }
  for (std::size_t at = 0; at < set_watches_.size(); ++at) {
    const auto& members = model_.sets[at].pumps;
    std::optional<std::size_t> last;
    for (std::size_t one = 0; one < members.size(); ++one)
      if (memory_.sets[at].last_started == members[one]) last = one;
    set_watches_[at].daemon_restarts(last);
  }
}

History::Before History::before() const {
  Before before;
  for (const PumpMemory& pump : memory_.pumps) {
    before.proved.push_back(pump.proved_on);
    before.dry.push_back(is_dry(pump));
    before.in_hand.push_back(pump.in_hand);
  }
  return before;
}

std::string History::scan() {
  if (dice_.one_in(waiting_.empty() ? 1500 : 60) && !disk_fails_) cut_power();
  now_ += dice_.one_in(400) ? Duration{20s} : Duration{std::chrono::milliseconds{300 + dice_.roll(1400)}};
  flow_on();
  switch_relays();
  read();
  people();
  if (disk_fails_) image_.durable = now_;  // as the scan loop has it: nothing is waited for
  const Before seen_before = before();
  const Outcome outcome = solve(model_, memory_, image_, now_);
  for (const Answer& answer : outcome.answers) {
    for (const Command& command : image_.commands) {
      if (command.number != answer.number) continue;
      if (command.kind == CommandKind::release)
        for (support::PumpWatch& watch : watches_)
          watch.person_releases();
      for (std::size_t at = 0; at < model_.pumps.size(); ++at)
        if (model_.pumps[at].id == command.target) hear(answer, at, command);
    }
  }
  const std::string broken = judge(outcome, seen_before);
  keep_state(outcome);
  ordered_ = outcome.contacts;
  return broken;
}

}  // namespace proof
