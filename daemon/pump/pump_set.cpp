#include "stillwell/pump/pump_set.hpp"

#include "stillwell/pump/duty.hpp"

#include <algorithm>

namespace stillwell {
namespace {

/// The level for the second pump, at the edge that stops it (rule 2).
bool asks_for_two(const PumpSet& set, const Pump& face, const PumpInputs& inputs) {
  if (face.floats) return face.duty == Duty::drain && sight_of(face, inputs) == FloatSight::high;
  if (!set.second_level || !inputs.tank.usable()) return false;
  return face.duty == Duty::fill ? inputs.tank.highest() <= *set.second_level
                                 : inputs.tank.lowest() >= *set.second_level;
}

/// A second one that was called stays until both are satisfied.
int wanted(const PumpSet& set, const Pump& face, int before, const PumpInputs& inputs) {
  if (!asks(face, before > 0, inputs)) return 0;
  return before > 1 || asks_for_two(set, face, inputs) ? 2 : 1;
}

std::vector<PumpIndex> in_turn(const PumpSet& set, const PumpSetMemory& memory) {
  std::vector<PumpIndex> pumps = set.pumps;
  const auto last = memory.last_started ? std::ranges::find(pumps, *memory.last_started) : pumps.end();
  if (set.order == SetOrder::alternate && last != pumps.end())
    std::rotate(pumps.begin(), last + 1, pumps.end());
  return pumps;
}

}  // namespace

std::string_view to_word(SetOrder order) {
  return order == SetOrder::fixed ? "fixed" : "alternate";
}

std::optional<std::size_t> set_of(const std::vector<PumpSet>& sets, PumpIndex pump) {
  for (std::size_t at = 0; at < sets.size(); ++at)
    if (std::ranges::find(sets[at].pumps, pump) != sets[at].pumps.end()) return at;
  return std::nullopt;
}

bool passes_on(const std::vector<Cause>& held_by) {
  const auto turn = [](Cause cause) { return row_of(cause).turn; };
  const auto is = [&](Turn which) { return [&, which](Cause cause) { return turn(cause) == which; }; };
  if (std::ranges::any_of(held_by, is(Turn::passes_on))) return true;
  return !held_by.empty() && std::ranges::all_of(held_by, is(Turn::passes_on_alone));
}

std::vector<PumpIndex> call(const PumpSet& set, PumpSetMemory& memory, const std::vector<Pump>& pumps,
                            const std::vector<PumpMemory>& members, const PumpInputs& inputs) {
  // All have its levels and its floats, so that any of them speaks for all.
  memory.wanted = wanted(set, pumps[set.pumps.front().at], memory.wanted, inputs);
  std::vector<PumpIndex> called;
  if (memory.wanted == 0) memory.of_this_run.clear();
  if (memory.wanted == 0) return called;
  const auto own = [&](PumpIndex pump) -> const PumpMemory& { return members[pump.at]; };
  // What runs in hand runs for whoever set it so.
  for (const PumpIndex pump : set.pumps)
    if (own(pump).order == Order::on && !own(pump).in_hand) called.push_back(pump);
  for (const PumpIndex pump : in_turn(set, memory)) {
    if (called.size() >= static_cast<std::size_t>(memory.wanted)) break;
    const bool stands_by = own(pump).order == Order::off && !own(pump).in_hand && !own(pump).passes_turn;
    if (stands_by) called.push_back(pump);
  }
  return called;
}

std::vector<PumpIndex> note_start(PumpIndex member, const PumpSet& set, PumpSetMemory& memory,
                                  const std::vector<PumpMemory>& members) {
  std::vector<PumpIndex> before = in_turn(set, memory);
  before.erase(std::ranges::find(before, member), before.end());
  before.insert(before.end(), memory.of_this_run.begin(), memory.of_this_run.end());
  std::vector<PumpIndex> passed;
  for (const PumpIndex pump : before) {
    const PumpMemory& own = members[pump.at];
    const bool is_passed = pump != member && own.order == Order::off && own.passes_turn;
    if (is_passed && std::ranges::find(passed, pump) == passed.end()) passed.push_back(pump);
  }
  memory.last_started = member;
  auto& run = memory.of_this_run;
  if (std::ranges::find(run, member) == run.end()) run.push_back(member);
  return passed;
}

}  // namespace stillwell
