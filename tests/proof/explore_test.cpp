// Every state of small pumps, and every step from each: no promise is broken anywhere.

#include "proof/explore.hpp"

#include <iostream>
#include <set>

#include "proof/machines.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

proof::Explored explored(const proof::Machine& machine, std::size_t most) {
  const proof::Explored found = proof::explore(machine, most);
  std::cout << "explore " << machine.name << ": " << found.states << " states, " << found.steps << " steps, "
            << found.causes.size() << " causes" << std::endl;
  INFO(machine.name << ": " << found.broken);
  CHECK(found.broken.empty());
  CHECK(found.finished);
  return found;
}

}  // namespace

TEST_CASE("proof: every state of every small pump keeps every promise", "[proof][explore]") {
  std::set<Cause> causes;
  std::size_t states = 0;
  for (const proof::Machine& machine : proof::machines()) {
    if (support::is_brief() && machine.name != "contacts") continue;
    const proof::Explored found = explored(machine, 2'000'000);
    causes.insert(found.causes.begin(), found.causes.end());
    states += found.states;
  }
  if (support::is_brief()) return;
  CHECK(states > 100'000);
  // Nothing was explored in vain: every cause that a lone pump without floats and a rise guard can have
  // spoke.
  for (const CauseRow& row : cause_table()) {
    using enum Cause;
    const bool is_elsewhere = row.cause == source_float || row.cause == float_switch || row.cause == no_rise;
    INFO(row.word);
    CHECK(causes.contains(row.cause) != is_elsewhere);
  }
}

TEST_CASE("proof: every state of the large pumps keeps every promise", "[proof][explore]") {
  if (!support::is_full()) return;
  for (const proof::Machine& machine : proof::large_machines())
    explored(machine, 20'000'000);
}
