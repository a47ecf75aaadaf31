// Random histories of generated sites: each is written as a configuration, read as one, and lived through
// with failures, people, restarts and clock steps. STILLWELL_SEED repeats a failure.

#include "stillwell/config/configuration.hpp"

#include <iostream>

#include "proof/any_site.hpp"
#include "proof/history.hpp"
#include "support/catch.hpp"

using namespace stillwell;

namespace {

/// Scans of pumps: 10^6 in every run, 10^8 by hand, fewer where each takes many times as long.
std::size_t size_of_campaign() {
  if (support::is_full()) return 100'000'000;
  return support::is_brief() ? 30'000 : 1'000'000;
}

void tell(const proof::Tally& tally) {
  std::cout << "campaign: " << tally.scans << " scans of pumps, " << tally.sites << " sites, "
            << tally.restarts << " restarts (" << tally.cut_short
            << " before the disk had the newest state)\n";
  for (const CauseRow& row : cause_table()) {
    const auto found = tally.causes.find(row.cause);
    std::cout << "  " << row.word << ' ' << (found == tally.causes.end() ? 0 : found->second) << '\n';
  }
}

}  // namespace

TEST_CASE("proof: no history of any site breaks a promise", "[proof][campaign]") {
  const std::uint64_t seed = support::seed_or(20261126);
  support::Dice dice{seed};
  proof::Tally tally;
  while (tally.scans < size_of_campaign()) {
    const std::string text = proof::any_site(dice);
    const auto loaded = config::parse(text, "site.yaml");
    for (const config::Problem& problem : loaded.problems)
      UNSCOPED_INFO(problem.to_text());
    REQUIRE(loaded.configuration);
    proof::History history{loaded.configuration->model, dice, tally};
    // Many sites, and of some a history of hours.
    const int scans = dice.one_in(4) ? 10'000 : 2'000;
    for (int scan = 0; scan < scans; ++scan) {
      const std::string broken = history.scan();
      if (broken.empty()) continue;
      FAIL("seed " << seed << ", site " << tally.sites << ", scan " << scan << ": " << broken << "\n"
                   << text);
    }
  }
  tell(tally);
  if (support::is_brief()) return;
  // The weather was rough enough to mean something.
  CHECK(tally.cut_short > 0);
  for (const CauseRow& row : cause_table()) {
    INFO(row.word);
    CHECK(tally.causes[row.cause] > 0);
  }
  for (const auto kind : {PumpEvent::Kind::start, PumpEvent::Kind::stop, PumpEvent::Kind::trip,
                          PumpEvent::Kind::lock_out, PumpEvent::Kind::recover}) {
    INFO("kind " << static_cast<int>(kind));
    CHECK(tally.kinds[kind] > 100);
  }
}
