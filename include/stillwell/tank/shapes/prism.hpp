#pragma once
// Every shape whose cross-section is the same at each depth: vertical cylinder, rectangular, and a tank of
// which only the capacity is known. V = A·h.

#include "stillwell/tank/shape.hpp"

namespace stillwell {

ShapePtr vertical_cylinder(Metres diameter);
ShapePtr rectangular(Metres length, Metres width);
/// An even section that holds `capacity` between floor and full line.
ShapePtr even_section(Litres capacity, Metres full);

}  // namespace stillwell
