#include "stillwell/field/schedule.hpp"

#include <algorithm>
#include <chrono>

namespace stillwell::field {
namespace {

using namespace std::chrono_literals;

/// However many stations are silent, each is asked this often: a repaired one must come back by itself while
/// somebody stands beside it.
constexpr Duration kLongestHold = 30s;

/// All silent stations together may take one part in so many of the line's time. Few of them are therefore
/// asked far more often than every kLongestHold, and a station that recovers is noticed soon.
constexpr int kShare = 10;

}  // namespace

Schedule::Job Schedule::add(int station, Duration period, Instant first) {
  entries_.push_back({.station = station_at(station), .period = period, .due = first});
  return entries_.size() - 1;
}

std::size_t Schedule::station_at(int number) {
  const auto found = std::find_if(stations_.begin(), stations_.end(),
                                  [&](const Station& station) { return station.number == number; });
  if (found != stations_.end()) return static_cast<std::size_t>(found - stations_.begin());
  stations_.push_back({.number = number});
  return stations_.size() - 1;
}

Instant Schedule::due(const Entry& entry) const {
  const Station& station = stations_[entry.station];
  return station.hold > Duration::zero() ? std::max(entry.due, station.held_until) : entry.due;
}

std::optional<Schedule::Job> Schedule::next(Instant now) const {
  std::optional<Job> first;
  for (Job job = 0; job < entries_.size(); ++job) {
    if (due(entries_[job]) > now) continue;
    // Compared by their own deadlines: a held station's turn must not be lost to those that came due
    // meanwhile.
    if (!first || entries_[job].due < entries_[*first].due) first = job;
  }
  return first;
}

std::optional<Instant> Schedule::wake() const {
  std::optional<Instant> soonest;
  for (const Entry& entry : entries_)
    soonest = soonest ? std::min(*soonest, due(entry)) : due(entry);
  return soonest;
}

void Schedule::answered(Job job, Instant now) {
  Entry& entry = entries_[job];
  Station& station = stations_[entry.station];
  station.answered_at = now;
  station.hold = Duration::zero();
  entry.misses = 0;
  entry.hold = Duration::zero();
  entry.due = std::max(entry.due + entry.period, now);  // slots that were missed are not made up for
}

Schedule::Miss Schedule::missed(Job job, Instant now) {
  Entry& entry = entries_[job];
  Station& station = stations_[entry.station];
  if (entry.misses == 0) entry.missed_since = now;
  ++entry.misses;
  const bool known_silent = station.hold > Duration::zero() || entry.hold > Duration::zero();
  if (!known_silent && entry.misses < tries_) {
    entry.due = now;  // behind all that is late already
    return Miss::again;
  }
  if (station.answered_at && *station.answered_at >= entry.missed_since) {
    entry.hold = longer(entry.hold, entry.period);
    entry.due = now + entry.hold;
    return Miss::job;
  }
  station.hold = longer(station.hold, entry.period);
  station.held_until = now + station.hold;
  entry.due = now;  // its other questions were due earlier and are the next to be tried
  return Miss::station;
}

Duration Schedule::longer(Duration hold, Duration period) const {
  if (hold == Duration::zero()) return std::min(period, kLongestHold);
  const auto silent = std::count_if(stations_.begin(), stations_.end(),
                                    [](const Station& s) { return s.hold > Duration::zero(); }) +
                      std::count_if(entries_.begin(), entries_.end(),
                                    [](const Entry& e) { return e.hold > Duration::zero(); });
  const Duration fair = std::max(period, probe_ * kShare * silent);
  return std::min({hold * 2, fair, kLongestHold});
}

void Schedule::restart(Instant now) {
  for (Station& station : stations_)
    station = {.number = station.number};
  for (Entry& entry : entries_)
    entry = {.station = entry.station, .period = entry.period, .due = now};
}

}  // namespace stillwell::field
