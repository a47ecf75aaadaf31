#include "stillwell/tank/shapes/quadrature.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace stillwell::geometry {
namespace {

constexpr std::size_t kPairs = 64;
constexpr double kStep = 0.05;  // halving it changes no integral of the tests beyond the last digits

// x = 1/(1 + e^(2u)) with u = π/2·sinh t; weight dx/dt. At t = 3.15 the point is 2e-16 from the end.
std::array<QuadratureNode, kPairs> made() {
  std::array<QuadratureNode, kPairs> nodes{};
  for (std::size_t k = 0; k < kPairs; ++k) {
    const double t = kStep * static_cast<double>(k);
    const double u = std::numbers::pi / 2.0 * std::sinh(t);
    const double slope = std::numbers::pi / 2.0 * std::cosh(t) / (2.0 * std::cosh(u) * std::cosh(u));
    nodes[k] = {.near = 1.0 / (1.0 + std::exp(2.0 * u)), .weight = kStep * slope};
  }
  nodes[0].weight /= 2.0;  // the middle is its own partner
  return nodes;
}

}  // namespace

std::span<const QuadratureNode> quadrature_nodes() {
  static const std::array<QuadratureNode, kPairs> nodes = made();
  return nodes;
}

}  // namespace stillwell::geometry
