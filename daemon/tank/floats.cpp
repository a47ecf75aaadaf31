#include "stillwell/tank/floats.hpp"

namespace stillwell {

std::string_view to_word(FloatSight sight) {
  switch (sight) {
    case FloatSight::below: return "below";
    case FloatSight::between: return "between";
    case FloatSight::above: return "above";
    case FloatSight::high: return "high";
    case FloatSight::contradict: return "contradict";
    case FloatSight::unreadable: return "unreadable";
  }
  return "unreadable";
}

FloatSight look(const FloatStates& floats) {
  const auto& lower = floats.lower.on;
  const auto& upper = floats.upper.on;
  if (!lower || !upper || (floats.high && !floats.high->on)) return FloatSight::unreadable;
  const bool high = floats.high && *floats.high->on;
  if ((*upper && !*lower) || (high && !*upper)) return FloatSight::contradict;
  if (high) return FloatSight::high;
  if (*upper) return FloatSight::above;
  return *lower ? FloatSight::between : FloatSight::below;
}

}  // namespace stillwell
