#pragma once
// Contents from the area of the surface, integrated once, for vessels without a formula. Bare numbers in
// metres, square metres and cubic metres.
//
// The range is cut where the area breaks. Within a panel the area may begin and end like any half-integer
// power of the distance, as circles do; in the angle θ of h = from + (to − from)·sin²(θ/2) all of these are
// smooth, so few Chebyshev terms hold the area to its last digits. A panel whose series has not died out by
// its last terms is halved.

#include <array>
#include <functional>
#include <vector>

namespace stillwell::geometry {

class IntegralTable {
 public:
  using Area = std::function<double(double)>;

  /// `breaks` ascending, first zero, last the height: where the area may break. `area` is asked between them.
  IntegralTable(const Area& area, const std::vector<double>& breaks);

  /// Both for a depth within the breaks; never negative.
  [[nodiscard]] double volume(double depth) const;
  [[nodiscard]] double area(double depth) const;

  /// An upper estimate of the area's error, from the last terms of every panel's series.
  [[nodiscard]] double area_error() const { return area_error_; }

 private:
  static constexpr std::size_t kTerms = 24;
  using Series = std::array<double, kTerms>;  ///< Chebyshev coefficients in 2θ/π − 1

  struct Panel {
    double from;
    double to;
    double below;  ///< contents at `from`
    Series area;
    Series mean;  ///< of the area between `from` and the depth: exact in relation even for a film of water
  };

  void add(const Area& area, double from, double to, int halvings);
  [[nodiscard]] const Panel& panel_of(double depth) const;

  static double place(const Panel& panel, double depth);
  static Series series_of(const std::function<double(double)>& f);
  static double sum(const Series& series, double x);
  static Series mean_of(const Series& area);

  std::vector<Panel> panels_;  ///< ascending, never empty
  double height_;
  double largest_;  ///< area, roughly: what an error is compared with
  double area_error_ = 0.0;
};

}  // namespace stillwell::geometry
