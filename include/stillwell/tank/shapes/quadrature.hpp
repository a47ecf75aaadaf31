#pragma once
// Integration of smooth functions whose ends may be square roots, as chords of circles are: the double
// exponential rule (Takahasi and Mori, Publ. RIMS 9, 721-741, 1974). Used once, when a shape is made.

#include <span>

namespace stillwell::geometry {

/// A pair of points of the rule on [0, 1]: `near` from either end, each with the same weight.
struct QuadratureNode {
  double near;
  double weight;
};

/// The pairs; the middle of the interval, counted once, is its first with half its weight.
std::span<const QuadratureNode> quadrature_nodes();

/// The integral of f from a to b.
template <class F>
double integral(const F& f, double a, double b) {
  double sum = 0.0;
  for (const auto& [near, weight] : quadrature_nodes())
    sum += weight * (f(a + near * (b - a)) + f(b - near * (b - a)));
  return sum * (b - a);
}

}  // namespace stillwell::geometry
