#include "stillwell/site/pumps.hpp"

#include "stillwell/pump/duty.hpp"
#include "stillwell/pump/force.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/site/float_levels.hpp"
#include "stillwell/site/observe.hpp"
#include "stillwell/site/service.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>
#include <utility>

namespace stillwell {
namespace {

/// What the other pumps are to this one. Those before it in the list have been solved in this scan already.
struct Neighbours {
  bool dry = false;      ///< one on the same suction has run dry (rule 8)
  bool started = false;  ///< one has just started
  bool helps = false;    ///< one that moves the same tank the same way is not proved off
};

bool share_a_set(const Model& model, PumpIndex a, PumpIndex b) {
  const auto set = set_of(model.sets, a);
  return set && set == set_of(model.sets, b);
}

/// Whether one pump's work could pass for the other's.
bool moves_alike(const Pump& a, const Pump& b) {
  return b.duty == Duty::fill ? delivery_of(a) == b.tank : suction_of(a) == b.tank;
}

Neighbours neighbours_of(const Model& model, const Memory& memory, PumpIndex index, Instant now) {
  Neighbours found;
  const auto suction = suction_of(model.pumps[index.at]);
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    if (at == index.at) continue;
    const PumpMemory& other = memory.pumps[at];
    found.dry |= suction && suction_of(model.pumps[at]) == suction && is_dry(other);
    found.helps |= moves_alike(model.pumps[at], model.pumps[index.at]) && !other.proved_off;
    found.started |= other.last_start && now - *other.last_start < model.stagger;
    // Those of a set never start in one instant, also where nothing else keeps starts apart.
    found.started |= other.last_start == now && share_a_set(model, index, {at});
    // Nor is one about to start while another one is: the disk knows of one start, and whose it was (rule
    // 23).
    found.started |= other.noted_start && share_a_set(model, index, {at});
  }
  return found;
}

PumpInputs inputs_of(const Model& model, const Memory& memory, const PumpSight& sight, PumpIndex index) {
  const Pump& pump = model.pumps[index.at];
  const auto level = [&](TankIndex tank) { return sight.levels[tank.at]; };
  const auto state = [&](SwitchIndex input) { return sight.switches[input.at]; };
  PumpInputs inputs{.tank = level(pump.tank)};
  if (pump.source) inputs.source = level(*pump.source);
  if (pump.receiver) inputs.receiver = level(*pump.receiver);
  if (pump.floats) inputs.floats = states_of(model, memory, *pump.floats, sight.now);
  if (pump.float_trip) inputs.float_trip = state(*pump.float_trip);
  if (pump.source_float) inputs.source_float = state(*pump.source_float);
  if (pump.feedback) inputs.feedback = state(pump.feedback->input);
  if (pump.selector.off) inputs.selector_off = state(*pump.selector.off);
  if (pump.selector.hand) inputs.selector_hand = state(*pump.selector.hand);
  if (pump.dry_run.flow) inputs.flow = state(pump.dry_run.flow->input);
  if (pump.dry_run.power) inputs.load = sight.meters[pump.dry_run.power->meter.at];
  if (pump.isolator) inputs.isolator = at_or_none(sight.image.readings.contacts, pump.isolator->contact.at);
  const Neighbours neighbours = neighbours_of(model, memory, index, sight.now);
  inputs.peer_is_dry = neighbours.dry;
  inputs.may_join = !neighbours.started;
  inputs.is_helped = neighbours.helps;
  inputs.has_needs = std::all_of(pump.needs.begin(), pump.needs.end(),
                                 [&](PumpIndex one) { return memory.pumps[one.at].proved_on; });
  inputs.contact = at_or_none(sight.image.readings.contacts, pump.contact.at);
  if (sight.image.local) inputs.minute_of_day = sight.image.local->minute_of_day;
  inputs.is_out = is_out(model, memory, index);
  inputs.is_released = is_released(memory, index);
  inputs.durable = sight.image.durable;
  inputs.wall = sight.image.wall;
  inputs.clock_stepped = has_stepped(memory.clock, sight.now);
  inputs.now = sight.now;
  const Order order = memory.pumps[index.at].order;
  // What is held off never follows; without this every start would end as a contact out of reach.
  if (sight.image.observing) inputs.contact = {sight.now, order == Order::on, Reason::none};
  if (memory.proof && memory.proof->pump == index && memory.proof->forced)
    force(inputs, pump, order, *memory.proof->forced);
  return inputs;
}

/// By pump; nothing for one that is in no set.
std::vector<std::optional<bool>> call_sets(const Model& model, Memory& memory, const PumpSight& sight) {
  std::vector<std::optional<bool>> called(model.pumps.size());
  for (std::size_t at = 0; at < model.sets.size(); ++at) {
    const PumpSet& set = model.sets[at];
    const Pump& any = model.pumps[set.pumps.front().at];
    PumpInputs inputs{.tank = sight.levels[any.tank.at]};
    if (any.floats) inputs.floats = states_of(model, memory, *any.floats, sight.now);
    for (const PumpIndex pump : set.pumps)
      called[pump.at] = false;
    for (const PumpIndex pump : call(set, memory.sets[at], model.pumps, memory.pumps, inputs))
      called[pump.at] = true;
  }
  return called;
}

std::string ids_of(const Model& model, const std::vector<PumpIndex>& pumps) {
  std::vector<std::string> ids;
  ids.reserve(pumps.size());
  for (const PumpIndex pump : pumps)
    ids.push_back(model.pumps[pump.at].id);
  return listed(ids);
}

/// A take-over is told as one; a start in hand takes nobody's turn.
void tell_turn(const Model& model, Memory& memory, PumpIndex pump, Event& told) {
  const auto at = set_of(model.sets, pump);
  if (!at) return;
  const auto passed = note_start(pump, model.sets[*at], memory.sets[*at], memory.pumps);
  if (!passed.empty() && !memory.pumps[pump.at].in_hand)
    told.text += " It takes the turn of " + ids_of(model, passed) + ".";
}

/// `contact`: as it was read, also where what is observed is told to have followed.
PumpView view_of(const PumpMemory& memory, const PumpInputs& inputs, const PumpOutcome& outcome,
                 std::optional<bool> contact) {
  const Duration this_run = memory.order == Order::on ? inputs.now - memory.ordered_at : Duration{0};
  return {.state = outcome.state,
          .order = outcome.order,
          .contact = contact,
          .confirmed_off = memory.proved_off && contact == false,
          .mode = memory.mode,
          .held_by = outcome.held_by,
          .first_out = memory.first_out,
          .lock_out = memory.lock_out,
          .run_time = memory.run_time + this_run,
          .start_count = memory.start_count,
          .last_start = memory.started_at,
          .last_stop = memory.stopped_at};
}

}  // namespace

void solve_pumps(const Model& model, Memory& memory, const PumpSight& sight, Outcome& outcome) {
  outcome.contacts.assign(model.contacts.size(), Order::off);
  const auto called = call_sets(model, memory, sight);
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const Pump& pump = model.pumps[at];
    PumpMemory& own = memory.pumps[at];
    PumpInputs inputs = inputs_of(model, memory, sight, {at});
    inputs.called = called[at];
    const PumpOutcome solved = solve(pump, own, inputs);
    outcome.contacts[pump.contact.at] = solved.order;
    if (own.noted_start == sight.now) outcome.must_be_kept = true;
    if (pump.isolator) outcome.contacts[pump.isolator->contact.at] = solved.isolator;
    for (const PumpEvent& event : solved.events) {
      const auto floats = pump.floats ? std::optional{sight_of(pump, inputs)} : std::nullopt;
      Event told = tell_pump(pump, event, {inputs.tank, inputs.source, floats});
      if (event.kind == PumpEvent::Kind::start) tell_turn(model, memory, {at}, told);
      outcome.events.push_back(sight.image.observing ? as_observed(std::move(told)) : std::move(told));
    }
    outcome.view.pumps.push_back(
        view_of(own, inputs, solved, at_or_none(sight.image.readings.contacts, pump.contact.at).on));
  }
}

}  // namespace stillwell
