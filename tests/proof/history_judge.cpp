// What a history shows its watchers: put together from the wires and the story, not by the code that is
// watched.
#include "stillwell/site/service.hpp"

#include <algorithm>

#include "proof/history.hpp"

namespace proof {
namespace {

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
  in.clock_stepped = image_.wall && stepped_at_ && now_ - *stepped_at_ < std::chrono::minutes{1};
  in.now = now_;
  return in;
}

PumpOutcome History::outcome_of(const Outcome& outcome, std::size_t at) const {
  const Pump& pump = model_.pumps[at];
  PumpOutcome out{.order = outcome.contacts[pump.contact.at],
                  .state = outcome.view.pumps[at].state,
                  .held_by = outcome.view.pumps[at].held_by,
                  .events = {}};
  if (pump.isolator) out.isolator = outcome.contacts[pump.isolator->contact.at];
  for (const Event& event : outcome.events) {
    if (event.of != pump.id) continue;
    if (const auto told = pump_event(event)) out.events.push_back(*told);
  }
  return out;
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

}  // namespace proof
