#include "stillwell/tank/flow_account.hpp"

#include "stillwell/reading/median.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr Duration kMayLack = kDay / 10;

void close(FlowAccount& account, DayTotals day) {
  day.unknown = std::max(day.unknown, kDay - day.known);
  account.closed[account.closed_next] = day;
  account.closed_next = (account.closed_next + 1) % kDaysKept;
  account.closed_count = std::min(account.closed_count + 1, kDaysKept);
}

void turn_to(FlowAccount& account, std::int64_t day) {
  if (!account.today) account.today = DayTotals{.day = day};
  if (day < account.today->day - 1) account.today->day = day;
  if (day <= account.today->day) return;
  close(account, *account.today);
  // Days that nobody saw push out as many old ones; more than are kept need not be written down.
  const std::int64_t kept = day - static_cast<std::int64_t>(kDaysKept);
  for (std::int64_t missed = std::max(account.today->day + 1, kept); missed < day; ++missed)
    close(account, {.day = missed});
  account.today = DayTotals{.day = day};
}

}  // namespace

bool DayTotals::is_complete() const {
  return known > Duration{0} && unknown <= kMayLack;
}

Litres DayTotals::outflow_per_day() const {
  return outflow() * (seconds_of(kDay) / seconds_of(known));
}

const DayTotals& FlowAccount::day_before(std::size_t back) const {
  return closed[(closed_next + 2 * kDaysKept - 1 - back) % kDaysKept];
}

bool operator==(const FlowAccount& a, const FlowAccount& b) {
  if (a.today != b.today || a.closed_count != b.closed_count || a.slack != b.slack) return false;
  for (std::size_t back = 0; back < a.closed_count; ++back) {
    if (a.day_before(back) != b.day_before(back)) return false;
  }
  return true;
}

void book(FlowAccount& account, std::int64_t day, const Balance& balance, Litres grain) {
  turn_to(account, day);
  DayTotals& today = *account.today;
  if (!balance.change) {
    today.unknown += balance.elapsed;
    return;
  }
  today.known += balance.elapsed;
  today.pumped_in += balance.pumped_in;
  today.pumped_out += balance.pumped_out;
  account.slack += *balance.change;
  const Litres band = std::max(grain, Litres{0.0});
  const Litres booked = std::clamp(account.slack, -band, band);
  today.gained += std::max(account.slack - booked, Litres{0.0});
  today.drawn += std::max(booked - account.slack, Litres{0.0});
  account.slack = booked;
}

std::optional<Litres> recent_draw_per_day(const FlowAccount& account) {
  std::array<double, kRecentDays> draws{};
  std::size_t found = 0;
  for (std::size_t back = 0; back < account.closed_count && found < kRecentDays; ++back) {
    const DayTotals& day = account.day_before(back);
    if (day.is_complete()) draws[found++] = day.outflow_per_day().value();
  }
  if (found < kFewestDays) return {};
  return Litres{median({draws.data(), found})};
}

std::optional<double> days_left(const FlowAccount& account, Litres usable) {
  const auto draw = recent_draw_per_day(account);
  if (!draw || !(*draw > Litres{0.0}) || !(usable >= Litres{0.0})) return {};
  return usable / *draw;
}

}  // namespace stillwell
