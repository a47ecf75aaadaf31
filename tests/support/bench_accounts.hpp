#pragma once
// A tank's water, its pump and its clock for tests of the accounts: the accounts are kept as the scan keeps
// them, a day in a few thousand looks. The header (5 m2) is filled by the lift from the cistern.

#include "stillwell/site/accounts.hpp"

#include <chrono>
#include <string>
#include <vector>

#include "support/orchard_model.hpp"

namespace support {

inline stillwell::Model metered_orchard() {
  using namespace stillwell;
  Model model = orchard_model();
  for (Pump& pump : model.pumps) {
    pump.contact_within = std::chrono::seconds{60};
    pump.flow_rate = LitresPerSecond{1.0};
  }
  return model;
}

class AccountBench {
 public:
  explicit AccountBench(stillwell::Model site = metered_orchard())
      : model{std::move(site)}, accounts{open_accounts(model)} {
    litres = {6000.0, 6000.0};
    runs.resize(model.pumps.size(), false);
    seen.resize(model.tanks.size(), true);
    switches.resize(model.switches.size());
  }

  stillwell::Model model;
  stillwell::Accounts accounts;
  stillwell::Instant now{std::chrono::hours{100}};
  std::optional<std::int64_t> minutes = 20000 * 1440;  ///< the local clock, from day 0; empty: not trusted
  std::vector<double> litres;                          ///< of each tank
  std::vector<double> draw{0.0, 0.0};                  ///< L/s out of each tank
  std::vector<std::optional<bool>> runs;               ///< each pump's contact, as confirmed
  std::vector<bool> seen;                              ///< whether each tank's level is known
  std::vector<stillwell::SwitchState> switches;
  std::vector<stillwell::MeterState> meters;
  std::vector<stillwell::Event> story;
  double lift_l_s = 1.0;  ///< what the lift moves in truth

  /// One look, after so long.
  void look(stillwell::Duration later = std::chrono::seconds{10}) {
    using namespace stillwell;
    const double seconds = seconds_of(later);
    now += later;
    if (runs[0] == true) {
      litres[0] += lift_l_s * seconds;
      litres[1] -= lift_l_s * seconds;
    }
    std::vector<Level> levels;
    for (std::size_t at = 0; at < litres.size(); ++at) {
      litres[at] -= draw[at] * seconds;
      levels.push_back(seen[at] ? Level{.level = Metres{litres[at] / 5000.0},
                                        .quality = Quality::good,
                                        .reason = Reason::none,
                                        .at = now}
                                : Level::bad(Reason::stale, now));
    }
    std::vector<ContactSample> contacts;
    for (const auto& on : runs)
      contacts.push_back({now, on, Reason::none});
    passed_ += later;
    keep_accounts(model, accounts, {now, local(), levels, switches, meters, contacts}, story);
    last_levels = levels;
  }
  /// Looks ten seconds apart until the time has passed.
  void look_for(stillwell::Duration time) {
    for (const auto end = now + time; now < end;)
      look();
  }
  [[nodiscard]] stillwell::TankFigures figures(std::size_t tank) const {
    return figures_of(model.tanks[tank], accounts, {tank}, last_levels[tank], now);
  }
  [[nodiscard]] std::optional<stillwell::LocalTime> local() const {
    if (!minutes) return {};
    const std::int64_t minute = *minutes + std::chrono::floor<std::chrono::minutes>(passed_).count();
    return stillwell::LocalTime{minute / 1440, static_cast<int>(minute % 1440)};
  }
  /// The daemon ends, and another begins after so long with what was kept.
  void restart(stillwell::Duration away) {
    const stillwell::Accounts before = accounts;
    accounts = open_accounts(model);
    for (std::size_t at = 0; at < before.tanks.size(); ++at) {
      accounts.tanks[at].account = before.tanks[at].account;
      accounts.tanks[at].night = before.tanks[at].night;
    }
    for (std::size_t at = 0; at < before.pumps.size(); ++at) {
      accounts.pumps[at].moved = before.pumps[at].moved;
      accounts.pumps[at].wear = before.pumps[at].wear;
    }
    now += away;
    passed_ += away;
  }

  std::vector<stillwell::Level> last_levels;

 private:
  stillwell::Duration passed_{0};
};

}  // namespace support
