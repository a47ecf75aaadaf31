#pragma once
// A tank without a gauge, kept by floats alone. A float tells of one height whether water has reached it; two
// of them say where to start and where to stop, and a third one that the water is where it must not be.

#include "stillwell/quantity/index.hpp"
#include "stillwell/reading/switch.hpp"

#include <cstdint>
#include <optional>
#include <string_view>

namespace stillwell {

/// Each is on when water has reached it. A drain pump starts at the upper one and stops below the lower one,
/// a fill pump the other way round.
struct TankFloats {
  SwitchIndex lower;
  SwitchIndex upper;
  std::optional<SwitchIndex> high{};  ///< hangs above both

  friend bool operator==(const TankFloats&, const TankFloats&) = default;
};

/// What they say in one scan.
struct FloatStates {
  SwitchState lower;
  SwitchState upper;
  std::optional<SwitchState> high{};  ///< empty where there is none
};

/// Where the water stands.
enum class FloatSight : std::uint8_t {
  below,       ///< it has reached none
  between,     ///< the lower one alone
  above,       ///< both
  high,        ///< all three
  contradict,  ///< one that hangs higher and not the one below it: no water stands so
  unreadable,  ///< one of them says nothing
};
std::string_view to_word(FloatSight sight);

/// Whether a decision may rest on it.
constexpr bool is_known(FloatSight sight) {
  return sight < FloatSight::contradict;
}

FloatSight look(const FloatStates& floats);

}  // namespace stillwell
