#include "stillwell/site/words.hpp"

#include "stillwell/quantity/units.hpp"

#include <cmath>

namespace stillwell {

std::string name_of(const std::string& name, const std::string& id) {
  return name.empty() ? id : name;
}

std::string describe(const Tank& tank, const Level& level) {
  if (!level.usable()) return "unknown (" + std::string(to_word(level.reason)) + ")";
  return to_text(*level.level) + " (" + to_text(percent_of(tank, *level.level)) + ")";
}

double rounded(Metres level) {
  return std::round(level.value() * 1e4) / 1e4;
}

double tenths(double value) {
  return std::round(value * 10.0) / 10.0;
}

void add_level(Event& event, const std::string& name, const Level& level) {
  if (level.usable()) event.values.emplace_back(name, rounded(*level.level));
}

}  // namespace stillwell
