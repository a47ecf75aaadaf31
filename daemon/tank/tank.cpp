#include "stillwell/tank/tank.hpp"

#include <algorithm>

namespace stillwell {

Percent percent_of(const Tank& tank, Metres level) {
  const double share = tank.by_volume ? tank.shape->volume(level) / tank.capacity() : level / tank.full();
  return Percent{100.0 * share};
}

Metres level_of(const Tank& tank, const SetPoint& set_point) {
  if (const auto* level = std::get_if<Metres>(&set_point)) return *level;
  if (const auto* volume = std::get_if<Litres>(&set_point)) return tank.shape->depth(*volume);
  const double share = std::get<Percent>(set_point).value() / 100.0;
  return tank.by_volume ? tank.shape->depth(tank.capacity() * share) : tank.full() * share;
}

Contents contents_at(const Tank& tank, Metres level) {
  const Litres volume = tank.shape->volume(level);
  return {.level = level,
          .percent = percent_of(tank, level),
          .volume = volume,
          .usable = std::max(volume - tank.shape->volume(tank.unusable), Litres{0.0}),
          .ullage = std::max(tank.capacity() - volume, Litres{0.0})};
}

}  // namespace stillwell
