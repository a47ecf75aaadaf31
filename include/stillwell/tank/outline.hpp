#pragma once
// The inside of a vessel as one sees it from beside it: how far it reaches to the left and to the right at
// each height. For paper alone; every rule reckons with the shape.

#include "stillwell/tank/shape.hpp"
#include "stillwell/tank/shapes/horizontal_cylinder.hpp"

#include <cstdint>
#include <vector>

namespace stillwell {

/// From where it is seen.
enum class Elevation : std::uint8_t {
  round,  ///< upright and round: the same from everywhere
  front,  ///< square to its length
  end,    ///< a lying vessel along its length: its cross-section
  side,   ///< a lying vessel from beside it
  stack,  ///< sections one upon the other, each in its own view about one line
  even,   ///< nobody knows its walls: a round vessel of the same contents, as wide below as above
};

struct OutlineSpan {
  Metres height{};  ///< above the lowest point inside
  Metres left{};
  Metres right{};
};

struct Outline {
  Elevation view = Elevation::even;
  std::vector<OutlineSpan>
      spans;             ///< bottom up from height zero; straight between; two at one height: a step
  bool goes_on = false;  ///< its walls go straight up from the last span, and nobody said how far
  Metres gauge{0.0};     ///< where the gauge's plumb line is drawn
};

/// An upright round vessel, from the area of its surface; `bent` is how high its wall changes.
Outline round_outline(const Shape& shape, Metres bent);
/// A vessel that lies with the same section all along its length.
Outline end_outline(const Shape& shape, Metres length);
Outline box_outline(Metres width);
/// Straight walls that lean.
Outline leaning_outline(Metres bottom, Metres top, Metres height);
/// For dimensions that were accepted. Level and without a place for its gauge, it is drawn over the middle.
Outline lying_outline(const HorizontalCylinder& dimensions);
Outline even_outline(Litres capacity, Metres full);

struct OutlineSection {
  Outline outline;
  Metres height;
};
/// One upon the other, bottom up, each about its middle.
Outline stacked_outline(const std::vector<OutlineSection>& sections);

/// Cut off at a height, or continued up to it where its walls go on.
Outline up_to(const Outline& outline, Metres height);
/// At a height, held within what the spans cover.
OutlineSpan span_at(const Outline& outline, Metres height);
/// The farthest that it reaches to either side, at the heights of its spans.
OutlineSpan extent_of(const Outline& outline);

}  // namespace stillwell
