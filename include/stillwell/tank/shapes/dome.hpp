#pragma once
// A head with its dimensions checked and worked out: the bands it is made of, and the circles where its wall
// or its curvature breaks. Bare numbers in metres.

#include "stillwell/tank/shapes/head.hpp"
#include "stillwell/tank/shapes/revolution.hpp"
#include "stillwell/tank/shapes/stack.hpp"

#include <vector>

namespace stillwell::geometry {

struct Dome {
  std::vector<Band> bands;  ///< from the shell outward; none for a flat end
  std::vector<Ring> rings;  ///< the shell's rim first; a point is a ring of radius zero
  double depth = 0.0;

  /// Area of the water's surface within the head.
  [[nodiscard]] double surface_at(const WaterPlane& plane) const;
  /// The largest sine·x + cosine·z on its inside.
  [[nodiscard]] double reach(double sine, double cosine) const;
  /// Its bands standing on its tip, bottom up.
  [[nodiscard]] std::vector<StackSection> upright_bands() const;
};

Result<Dome> make_dome(const Head& head, Metres diameter);

}  // namespace stillwell::geometry
