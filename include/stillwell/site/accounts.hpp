#pragma once
// The site's water accounts: how fast each level moves, what came and went by day, what left at night, what
// the pumps moved and what their motors used. They watch and tell; nothing here decides about a pump.
//
// A pump moves water while its contact is confirmed on, or, where it has feedback, while that says so (rule
// 12: it proves the contactor). It moves its nameplate's flow, from its suction into its delivery tank. While
// it runs without a nameplate, or while nobody knows whether it runs, the time of its tanks is unknown: not
// zero.

#include "stillwell/reading/energy.hpp"
#include "stillwell/reading/noise.hpp"
#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"
#include "stillwell/tank/flow_account.hpp"
#include "stillwell/tank/night_flow.hpp"
#include "stillwell/tank/run_volume.hpp"
#include "stillwell/tank/slope.hpp"
#include "stillwell/tank/water_balance.hpp"
#include "stillwell/tank/wear.hpp"

#include <optional>
#include <vector>

namespace stillwell {

/// Of every tank alike, because a rate is for people: with readings a second apart that scatter by 3 mm it
/// tells 0.3 mm/min from standstill, with readings 30 s apart 1.3 mm/min (window_for), a first one after a
/// minute. It begins anew when a pump of the tank starts or stops, since the mean of both is neither.
inline constexpr Duration kRateWindow = std::chrono::minutes{5};
/// A pause in the readings loses no water from sight, only the hour in which it moved. Common practice, no
/// source.
inline constexpr Duration kLongestGap = std::chrono::minutes{5};

struct TankAccounts {
  explicit TankAccounts(const NightRules& rules) : night_flow{rules} {}

  RateWindow rate{kRateWindow};
  Noise noise{kRateWindow};
  WaterBalance balance{kLongestGap};
  FlowAccount account;
  NightFlow night_flow;
  std::optional<Night> night;  ///< the last one that told
};

struct PumpAccounts {
  std::optional<bool> ran;  ///< as last known
  Litres moved{};           ///< in all, by the nameplate
  PumpWear wear;
  RunVolume run;
  EnergyMemory energy;  ///< by its meter, where that shows watts
};

/// Everything that lives between scans.
struct Accounts {
  std::vector<TankAccounts> tanks;
  std::vector<PumpAccounts> pumps;
  std::optional<Instant> at;        ///< of the scan before
  std::optional<std::int64_t> day;  ///< as last known in this run; accounts of the day wait for the first one
};

Accounts open_accounts(const Model& model);

/// One scan as the accounts see it; by the model's positions.
struct AccountSight {
  Instant now{};
  std::optional<LocalTime> local;  ///< empty while the clock is not trusted
  const std::vector<Level>& levels;
  const std::vector<SwitchState>& switches;
  const std::vector<MeterState>& meters;
  const std::vector<ContactSample>& contacts;
};

/// Adds this scan to the books. A day that ends is told.
void keep_accounts(const Model& model, Accounts& accounts, const AccountSight& sight,
                   std::vector<Event>& story);

/// What a tank's books say now. Everything is absent while it means nothing.
struct TankFigures {
  std::optional<LevelRate> rate;  ///< also one that is not meaningful: the level stands still, as far as seen
  std::optional<FlowRate> flow;   ///< net change of the contents; likewise
  std::optional<TimeTo> to_empty;   ///< until the outlet runs dry: usable volume zero
  std::optional<TimeTo> to_full;    ///< until the full line
  std::optional<DayTotals> today;   ///< as far as it is known
  std::optional<DayTotals> before;  ///< the day before that, if any of it is known
  std::optional<double> days_left;  ///< of usable water, at the recent draw
  std::optional<Night> night;       ///< the last one that told
};

TankFigures figures_of(const Tank& tank, const Accounts& accounts, TankIndex at, const Level& level,
                       Instant now);

}  // namespace stillwell
