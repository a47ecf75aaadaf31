#include "stillwell/site/accounts.hpp"

#include "stillwell/site/meters.hpp"
#include "stillwell/site/story.hpp"

#include <algorithm>

namespace stillwell {
namespace {

/// Of a level's noise: so many standard deviations are passed by one reading in 16 000, several times a day
/// and by little; and sensors that tell whole millimetres show less noise than they have.
constexpr double kNoiseBand = 4.0;
constexpr Metres kLeastNoise{0.002};

/// The tanks between which a pump moves water.
struct Path {
  std::optional<TankIndex> from;
  std::optional<TankIndex> to;

  [[nodiscard]] bool touches(TankIndex tank) const { return from == tank || to == tank; }
};

Path path_of(const Pump& pump) {
  if (pump.duty == Duty::fill) return {pump.source, pump.tank};
  return {pump.tank, pump.receiver};
}

using Runs = std::vector<std::optional<bool>>;  ///< by pump; empty while nobody knows

std::optional<bool> runs_now(const Pump& pump, const AccountSight& sight) {
  const ContactSample contact = at_or_none(sight.contacts, pump.contact.at);
  if (!contact.on || sight.now - contact.at > pump.contact_within) return {};
  if (!pump.feedback) return contact.on;
  return at_or_none(sight.switches, pump.feedback->input.at).on;
}

/// What the pumps moved of a tank's water; empty when a pump that touches it has a share that nobody knows.
std::optional<PumpFlow> flow_through(const Model& model, const Runs& runs, TankIndex tank) {
  PumpFlow flow;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const Path path = path_of(model.pumps[at]);
    if (!path.touches(tank) || runs[at] == false) continue;
    const auto& nameplate = model.pumps[at].flow_rate;
    if (!runs[at] || !nameplate) return {};
    if (path.to == tank) flow.in += *nameplate;
    if (path.from == tank) flow.out += *nameplate;
  }
  return flow;
}

bool is_alone(const Model& model, const Runs& runs, std::size_t pump) {
  const TankIndex tank = model.pumps[pump].tank;
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    if (at != pump && path_of(model.pumps[at]).touches(tank) && runs[at] != false) return false;
  }
  return true;
}

std::optional<Litres> contents_of(const Tank& tank, const Level& level) {
  if (!level.usable()) return {};
  return tank.shape->volume(*level.level);
}

/// The volume within which the level's noise moves to and fro.
Litres grain_of(const Tank& tank, const TankAccounts& books, const Level& level) {
  if (!level.usable()) return {};
  const Metres noise = std::max(books.noise.spread().value_or(Metres{}) * kNoiseBand, kLeastNoise);
  return tank.shape->surface(*level.level) * noise;
}

/// What passed of a day before the first look of this run is unknown, whoever ran then.
void open_day(FlowAccount& account, const LocalTime& local) {
  book(account, local.day, {}, {});
  if (account.today->day != local.day) return;  // the clock was put back over midnight
  const Duration passed = std::chrono::minutes{local.minute_of_day};
  account.today->unknown = std::max(account.today->unknown, passed - account.today->known);
}

void keep_night(TankAccounts& books, const std::optional<LocalTime>& local, const Balance& balance) {
  if (!local) return;
  const auto night = books.night_flow.step(local->minute_of_day, balance);
  if (night && night->told) books.night = night;
}

/// One tank's scan.
struct TankSeen {
  const Tank& tank;
  const Level& level;
  std::optional<PumpFlow> pumps;
  std::optional<std::int64_t> day;
  bool opens_day = false;  ///< the first one of this run whose day is known
};

void keep_tank(const TankSeen& seen, TankAccounts& books, const AccountSight& sight,
               std::vector<Event>& story) {
  if (seen.level.usable()) {
    books.rate.add({*seen.level.level, seen.level.at});
    books.noise.add({*seen.level.level, seen.level.at});
  }
  const std::optional<DayTotals> before = books.account.today;
  if (seen.opens_day) open_day(books.account, *sight.local);
  const Balance balance = books.balance.step({sight.now, contents_of(seen.tank, seen.level), seen.pumps});
  if (balance.elapsed > Duration{0}) {
    keep_night(books, sight.local, balance);
    if (seen.day) book(books.account, *seen.day, balance, grain_of(seen.tank, books, seen.level));
  }
  if (before && before->day != books.account.today->day) story.push_back(tell_day(seen.tank, *before));
}

void keep_pump(const Pump& pump, PumpAccounts& books, const RunSight& seen, Duration elapsed) {
  if (pump.flow_rate && seen.runs == true) {
    books.moved += Litres{pump.flow_rate->value() * seconds_of(elapsed)};
  }
  const auto run = books.run.step(seen);
  if (run) add_run(books.wear, pump.duty == Duty::fill ? run->gained : -run->gained, run->ran);
}

void keep_energy(const Model& model, const Pump& pump, const std::vector<MeterState>& meters,
                 EnergyMemory& energy) {
  const auto meter = watt_meter_of(model, pump);
  if (meter) count_energy(energy, meters[meter->at], model.meters[meter->at].rules.stale_after);
}

/// Restarts the rate of every tank whose pumps have changed.
void note_turns(const Model& model, Accounts& accounts, const Runs& runs) {
  for (std::size_t at = 0; at < runs.size(); ++at) {
    PumpAccounts& books = accounts.pumps[at];
    if (!runs[at] || books.ran == runs[at]) continue;
    books.ran = runs[at];
    for (std::size_t tank = 0; tank < accounts.tanks.size(); ++tank) {
      if (path_of(model.pumps[at]).touches({tank})) accounts.tanks[tank].rate = RateWindow{kRateWindow};
    }
  }
}

/// The day to book to: today, or while the clock is not trusted the last one that was known.
std::optional<std::int64_t> day_of(Accounts& accounts, const std::optional<LocalTime>& local) {
  if (local) accounts.day = local->day;
  return accounts.day;
}

}  // namespace

Accounts open_accounts(const Model& model) {
  Accounts accounts;
  for (const Tank& tank : model.tanks)
    accounts.tanks.emplace_back(tank.night);
  accounts.pumps.resize(model.pumps.size());
  return accounts;
}

void keep_accounts(const Model& model, Accounts& accounts, const AccountSight& sight,
                   std::vector<Event>& story) {
  Runs runs;
  for (const Pump& pump : model.pumps)
    runs.push_back(runs_now(pump, sight));
  note_turns(model, accounts, runs);
  const bool opens_day = sight.local && !accounts.day;
  const auto day = day_of(accounts, sight.local);
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    if (model.tanks[at].floats) continue;  // no level, no water to account for
    keep_tank({.tank = model.tanks[at],
               .level = sight.levels[at],
               .pumps = flow_through(model, runs, {at}),
               .day = day,
               .opens_day = opens_day},
              accounts.tanks[at], sight, story);
  }
  const Duration elapsed = accounts.at ? sight.now - *accounts.at : Duration{0};
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    const std::size_t tank = model.pumps[at].tank.at;
    keep_pump(model.pumps[at], accounts.pumps[at],
              {.at = sight.now,
               .contents = contents_of(model.tanks[tank], sight.levels[tank]),
               .runs = runs[at],
               .alone = is_alone(model, runs, at)},
              elapsed);
    keep_energy(model, model.pumps[at], sight.meters, accounts.pumps[at].energy);
  }
  accounts.at = sight.now;
}

TankFigures figures_of(const Tank& tank, const Accounts& accounts, TankIndex at, const Level& level,
                       Instant now) {
  if (tank.floats) return {};
  const TankAccounts& books = accounts.tanks[at.at];
  TankFigures figures{.night = books.night};
  if (accounts.day) figures.today = books.account.today;  // before, it is the last run's day
  const bool has_before = accounts.day && books.account.closed_count > 0;
  if (has_before && books.account.day_before(0).known > Duration{0}) {
    figures.before = books.account.day_before(0);
  }
  if (!level.usable()) return figures;
  const Contents contents = contents_at(tank, *level.level);
  figures.days_left = days_left(books.account, contents.usable);
  figures.rate = books.rate.rate(now);
  if (figures.rate && figures.rate->points < LevelRate::kFewest) figures.rate.reset();
  if (!figures.rate) return figures;
  figures.flow = flow_of(*figures.rate, tank.shape->surface(*level.level));
  figures.to_empty = time_to(tank.shape->volume(tank.unusable), contents.volume, *figures.flow);
  figures.to_full = time_to(tank.capacity(), contents.volume, *figures.flow);
  return figures;
}

}  // namespace stillwell
