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

std::optional<Cause> cause_of(const std::string& word) {
  for (const CauseRow& row : cause_table())
    if (row.word == word) return row.cause;
  return std::nullopt;
}

/// What the site told of a pump, as its machine would have; nothing for what is told of other things.
std::optional<PumpEvent> pump_event(const Event& event) {
  const auto cause = cause_of(event.cause);
  switch (event.kind) {
    case EventKind::start: return PumpEvent{PumpEvent::Kind::start, cause};
    case EventKind::stop: return PumpEvent{PumpEvent::Kind::stop, cause};
    case EventKind::trip: return PumpEvent{PumpEvent::Kind::trip, cause};
    case EventKind::lockout: return PumpEvent{PumpEvent::Kind::lock_out, cause};
    case EventKind::service:
      if (event.text.find("no longer tripped") == std::string::npos) return std::nullopt;
      return PumpEvent{PumpEvent::Kind::recover, cause};
    case EventKind::alarm:
    case EventKind::command:
    case EventKind::quality: break;
  }
  return std::nullopt;
}

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
      minute_{dice.roll(1440)},
      handed_{keep(model, memory_, now_)} {
  for (const Pump& pump : model.pumps)
    watches_.emplace_back(pump);
  for (const PumpSet& set : model.sets)
    set_watches_.emplace_back(set);
  for (Water& water : waters_)
    water.level = dice.between(0.3, 2.3);
  on_disk_ = report::to_json(handed_);
  image_.durable = now_;
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
    if (relay.stuck_for > 0) --relay.stuck_for;
    if (dice_.one_in(4000)) relay.stuck_for = dice_.roll(40);
    if (relay.lag > 0) {
      --relay.lag;
    } else if (relay.stuck_for == 0) {
      relay.closed = relay.last == Order::on;
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
    const bool is_dry = troubled(dry_for_[at], 600, 40);
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
  if (dice_.one_in(30)) minute_ = (minute_ + 1) % 1440;
  if (dice_.one_in(2000)) minute_ = dice_.roll(1440);  // somebody sets the clock
  image_.local.reset();
  if (!dice_.one_in(1000)) image_.local = LocalTime{20000, minute_};
}

void History::ask(CommandKind kind, std::size_t pump, const std::string& argument) {
  image_.commands.push_back(
      {.number = ++number_, .kind = kind, .target = model_.pumps[pump].id, .argument = argument});
}

void History::people() {
  image_.commands.clear();
  for (std::size_t pump = 0; pump < model_.pumps.size(); ++pump) {
    if (dice_.one_in(600)) ask(CommandKind::mode, pump, dice_.one_in(3) ? "off" : "auto");
    if (dice_.one_in(1500)) ask(CommandKind::mode, pump, "hand");
    if (dice_.one_in(100)) ask(CommandKind::reset, pump, "");
    if (dice_.one_in(memory_.pumps[pump].out_of_service ? 60 : 2000))
      ask(CommandKind::service, pump, memory_.pumps[pump].out_of_service ? "in" : "out");
  }
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
  const Kept kept = keep(model_, memory_, now_);
  if (!kept.guards_as(handed_)) {
    waiting_.push_back({report::to_json(kept), now_, dice_.roll(4)});
    handed_ = kept;
    // Rule 23: what a start changes the disk has had since it was noted, so power may go in that very scan.
    const bool is_start =
        image_.commands.empty() &&
        std::ranges::all_of(
            outcome.events, [](EventKind kind) { return kind == EventKind::start; }, &Event::kind);
    may_cut_ = may_cut_ && is_start;
  }
  const bool settles = std::any_of(outcome.answers.begin(), outcome.answers.end(),
                                   [](const Answer& answer) { return answer.done; });
  while (!waiting_.empty() && (settles || --waiting_.front().lag < 0)) {
    on_disk_ = std::move(waiting_.front().text);
    image_.durable = waiting_.front().as_of;
    waiting_.pop_front();
  }
  if (waiting_.empty()) may_cut_ = true;
}

/// Another daemon begins with what the disk had.
void History::cut_power() {
  if (!may_cut_) return;
  ++tally_.restarts;
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
  for (support::PumpWatch& watch : watches_)
    watch.daemon_restarts();
  for (std::size_t at = 0; at < set_watches_.size(); ++at) {
    const auto& members = model_.sets[at].pumps;
    std::optional<std::size_t> last;
    for (std::size_t one = 0; one < members.size(); ++one)
      if (memory_.sets[at].last_started == members[one]) last = one;
    set_watches_[at].daemon_restarts(last);
  }
}

std::optional<SwitchState> History::switch_of(std::optional<SwitchIndex> input) const {
  if (!input) return std::nullopt;
  const Wire& wire = switches_[input->at];
  if (now_ - wire.at > model_.switches[input->at].rules.stale_after)
    return SwitchState{{}, Reason::stale, wire.at};
  return SwitchState{wire.said, Reason::none, wire.at};
}

std::optional<FloatStates> History::floats_of(const std::optional<TankFloats>& floats) const {
  if (!floats) return std::nullopt;
  return FloatStates{.lower = *switch_of(floats->lower),
                     .upper = *switch_of(floats->upper),
                     .high = switch_of(floats->high)};
}

/// What the pump must have seen, put together from the wires and not by the code that is watched.
PumpInputs History::sight_of(std::size_t at, const Before& before) const {
  const Pump& pump = model_.pumps[at];
  const auto level = [&](TankIndex tank) { return memory_.levels[tank.at]; };
  PumpInputs in{.tank = level(pump.tank)};
  if (pump.source) in.source = level(*pump.source);
  if (pump.receiver) in.receiver = level(*pump.receiver);
  in.floats = floats_of(pump.floats);
  if (set_of(model_.sets, {at})) in.called = false;  // whose turn it is is judged by the set
  in.float_trip = switch_of(pump.float_trip);
  in.source_float = switch_of(pump.source_float);
  in.selector_off = switch_of(pump.selector.off);
  in.selector_hand = switch_of(pump.selector.hand);
  if (pump.feedback) in.feedback = switch_of(pump.feedback->input);
  if (pump.dry_run.flow) in.flow = switch_of(pump.dry_run.flow->input);
  if (pump.dry_run.power) {
    const std::size_t meter = pump.dry_run.power->meter.at;
    in.load = MeterState{};
    if (now_ - meters_[meter].at <= model_.meters[meter].rules.stale_after)
      in.load->load = MotorLoad{meters_[meter].said ? 800.0 : 5.0};
  }
  in.contact = image_.readings.contacts[pump.contact.at];
  if (pump.isolator) in.isolator = image_.readings.contacts[pump.isolator->contact.at];
  if (image_.local) in.minute_of_day = image_.local->minute_of_day;
  in.is_out = is_out(model_, memory_, {at});
  for (std::size_t other = 0; other < model_.pumps.size(); ++other)
    in.peer_is_dry |= other != at && before.dry[other] && is_dry(memory_.pumps[other]) && suction_of(pump) &&
                      suction_of(model_.pumps[other]) == suction_of(pump);
  in.has_needs = std::all_of(pump.needs.begin(), pump.needs.end(), [&](PumpIndex one) {
    return before.proved[one.at] || memory_.pumps[one.at].proved_on;
  });
  in.durable = image_.durable;
  in.now = now_;
  return in;
}

PumpOutcome History::outcome_of(const Outcome& outcome, std::size_t at) const {
  const Pump& pump = model_.pumps[at];
  PumpOutcome out{.order = outcome.contacts[pump.contact.at],
                  .state = outcome.view.pumps[at].state,
                  .held_by = outcome.view.pumps[at].held_by,
                  .events = {}};
  for (const Event& event : outcome.events) {
    if (event.of != pump.id) continue;
    if (const auto told = pump_event(event)) out.events.push_back(*told);
  }
  return out;
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

std::string History::judge_sets(const Outcome& outcome, const Before& before) {
  for (std::size_t at = 0; at < model_.sets.size(); ++at) {
    const PumpSet& set = model_.sets[at];
    const std::size_t first = set.pumps.front().at;
    const Pump& pump = model_.pumps[first];
    const PumpInputs in = sight_of(first, before);
    const auto seen = watches_[first].seen(in);
    SetWatch::Asked asked{.known = seen.known, .at_start = seen.at_start, .at_stop = seen.at_stop};
    if (pump.floats)
      asked.at_second =
          seen.known && pump.duty == Duty::drain && in.floats->high && in.floats->high->on == true;
    else if (set.second_level && seen.known)
      asked.at_second = pump.duty == Duty::fill ? in.tank.highest() <= *set.second_level
                                                : in.tank.lowest() >= *set.second_level;
    std::vector<SetWatch::Seen> members;
    for (const PumpIndex one : set.pumps) {
      const PumpMemory& memory = memory_.pumps[one.at];
      members.push_back({.was_on = ordered_[model_.pumps[one.at].contact.at] == Order::on,
                         .was_in_hand = before.in_hand[one.at],
                         .on = outcome.contacts[model_.pumps[one.at].contact.at] == Order::on,
                         .by_itself = !memory.in_hand && !memory.blind && !memory.noted_start,
                         .noted = memory.noted_start.has_value(),
                         .held_by = outcome.view.pumps[one.at].held_by});
    }
    if (auto broken = set_watches_[at].look(asked, members); !broken.empty()) return set.id + ": " + broken;
  }
  return "";
}

std::string History::judge(const Outcome& outcome, const Before& before) {
  for (std::size_t at = 0; at < model_.pumps.size(); ++at) {
    const Pump& pump = model_.pumps[at];
    const PumpOutcome out = outcome_of(outcome, at);
    ++tally_.scans;
    for (const PumpEvent& event : out.events) {
      ++tally_.kinds[event.kind];
      if (event.cause) ++tally_.causes[*event.cause];
    }
    for (const Cause cause : out.held_by)
      ++tally_.causes[cause];
    const std::string broken = watches_[at].look(sight_of(at, before), memory_.pumps[at], out);
    if (!broken.empty()) return pump.id + ": " + broken;
    if (out.order == Order::off || ordered_[pump.contact.at] == Order::on) continue;
    for (std::size_t other = 0; other < started_.size(); ++other)
      if (other != at && started_[other] && now_ - *started_[other] < model_.stagger)
        return pump.id + ": started within the stagger of another pump";
    started_[at] = now_;
  }
  return judge_sets(outcome, before);
}

std::string History::scan() {
  if (dice_.one_in(1500)) cut_power();
  now_ += dice_.one_in(400) ? Duration{20s} : Duration{std::chrono::milliseconds{300 + dice_.roll(1400)}};
  flow_on();
  switch_relays();
  read();
  people();
  const Before seen_before = before();
  const Outcome outcome = solve(model_, memory_, image_, now_);
  for (const Answer& answer : outcome.answers) {
    for (const Command& command : image_.commands) {
      if (command.number != answer.number) continue;
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
