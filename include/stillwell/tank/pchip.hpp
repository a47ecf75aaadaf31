#pragma once
// Monotone cubic interpolation: through every point, never turning back between two. The slopes at the points
// are the weighted harmonic means of Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5, 300-304, 1984) with
// three-point ends, the variant of scipy's PchipInterpolator; that of Fritsch and Carlson (1980) differs.

#include <cstddef>
#include <vector>

namespace stillwell {

class Pchip {
 public:
  struct Knot {
    double x;
    double y;
  };

  /// Two knots or more, x strictly ascending; all finite.
  explicit Pchip(const std::vector<Knot>& knots);

  /// Between the first and the last x; an x outside is taken for the nearer of them.
  [[nodiscard]] double value(double x) const;
  [[nodiscard]] double slope(double x) const;

 private:
  struct Piece {
    double from;
    double width;
    double start;       ///< value at `from`
    double rise;        ///< to the next knot
    double slope;       ///< at `from`
    double next_slope;  ///< at the next knot
  };

  [[nodiscard]] const Piece& piece_of(double x) const;

  std::vector<Piece> pieces_;
};

}  // namespace stillwell
