#pragma once
// What closes the end of a round vessel: the heads of a lying one, the bottom of an upright one. All are
// bodies of revolution that bulge outward from the shell's rim; all measures are inside ones.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/result.hpp"

#include <optional>
#include <variant>

namespace stillwell {

struct Flat {};
struct Hemispherical {};
struct Ellipsoidal {
  std::optional<Metres> depth;  ///< none: a quarter of the diameter (2:1)
};
struct Conical {
  Metres depth;
};
/// A spherical cap.
struct Dished {
  Metres depth;
};
/// A spherical crown that a toroidal knuckle rounds off into the shell. Radii as fractions of the diameter.
struct Torispherical {
  double crown;
  double knuckle;
};

using Head = std::variant<Flat, Hemispherical, Ellipsoidal, Conical, Dished, Torispherical>;

/// How far a head reaches beyond the rim, and what it holds when full.
struct HeadSize {
  Metres depth;
  Litres volume;
};

/// Fails for a head that cannot be, with the dimension and the remedy.
Result<HeadSize> size_of(const Head& head, Metres diameter);

}  // namespace stillwell
