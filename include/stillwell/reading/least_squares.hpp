#pragma once
// Linear least squares over a handful of columns, by orthogonalising the columns and carrying the right-hand
// side along (Björck Å., BIT 7, 1-21, 1967): ten digits of the certified fits where the normal equations lose
// half of them. The caller states the model by the columns it fills: {1, x} is a line, {x} a line through the
// origin.

#include <array>
#include <cmath>
#include <cstddef>
#include <optional>
#include <span>

namespace stillwell {

template <std::size_t Columns>
struct Equation {
  std::array<double, Columns> x{};
  double y = 0.0;
};

template <std::size_t Columns>
struct LeastSquares {
  std::array<double, Columns> value{};      ///< one coefficient a column
  std::array<double, Columns> deviation{};  ///< standard deviation of each
  std::array<double, Columns> explained{};  ///< what each column takes off the sum of squares, in their order
  double residual_squares = 0.0;
  double residual_deviation = 0.0;  ///< of one equation
};

/// The most equations that are fitted; more are refused.
inline constexpr std::size_t kMostEquations = 64;

namespace detail {

using Column = std::array<double, kMostEquations>;

inline double product(const Column& a, const Column& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < kMostEquations; ++i)
    sum += a[i] * b[i];
  return sum;
}

/// Takes out of `from` its part along the unit column and returns its length.
inline double take_out(Column& from, const Column& unit) {
  const double along = product(from, unit);
  for (std::size_t i = 0; i < kMostEquations; ++i)
    from[i] -= along * unit[i];
  return along;
}

/// Columns as orthonormal ones times a triangle. False when a column hangs on the ones before it.
template <std::size_t Columns>
struct Orthogonal {
  std::array<Column, Columns> unit{};
  std::array<std::array<double, Columns>, Columns> triangle{};

  bool add(std::size_t place) {
    Column& column = unit[place];
    const double before = std::sqrt(product(column, column));
    for (std::size_t other = 0; other < place; ++other)
      triangle[other][place] = take_out(column, unit[other]);
    const double length = std::sqrt(product(column, column));
    // Less than this share left is rounding, not a direction of its own.
    if (!(length > before * 1e-12) || !std::isfinite(length)) return false;
    triangle[place][place] = length;
    for (double& entry : column)
      entry /= length;
    return true;
  }

  [[nodiscard]] std::array<double, Columns> solve(const std::array<double, Columns>& right) const {
    std::array<double, Columns> value{};
    for (std::size_t row = Columns; row-- > 0;) {
      double left = right[row];
      for (std::size_t column = row + 1; column < Columns; ++column)
        left -= triangle[row][column] * value[column];
      value[row] = left / triangle[row][row];
    }
    return value;
  }
};

}  // namespace detail

/// Empty when the equations are not more than the columns, more than kMostEquations, not finite, or when a
/// column hangs on the others.
template <std::size_t Columns>
std::optional<LeastSquares<Columns>> least_squares(std::span<const Equation<Columns>> equations) {
  if (equations.size() <= Columns || equations.size() > kMostEquations) return {};
  detail::Orthogonal<Columns> basis;
  detail::Column rest{};
  for (std::size_t row = 0; row < equations.size(); ++row) {
    for (std::size_t column = 0; column < Columns; ++column)
      basis.unit[column][row] = equations[row].x[column];
    rest[row] = equations[row].y;
  }
  LeastSquares<Columns> fit;
  std::array<double, Columns> along{};
  for (std::size_t column = 0; column < Columns; ++column) {
    if (!basis.add(column)) return {};
    along[column] = detail::take_out(rest, basis.unit[column]);
    fit.explained[column] = along[column] * along[column];
  }
  fit.value = basis.solve(along);
  fit.residual_squares = detail::product(rest, rest);
  if (!std::isfinite(fit.residual_squares)) return {};
  fit.residual_deviation = std::sqrt(fit.residual_squares / static_cast<double>(equations.size() - Columns));
  for (std::size_t place = 0; place < Columns; ++place) {
    std::array<double, Columns> one{};
    one[place] = 1.0;
    const auto inverse = basis.solve(one);  // a column of the triangle's inverse
    for (std::size_t row = 0; row < Columns; ++row)
      fit.deviation[row] += inverse[row] * inverse[row];
  }
  for (double& deviation : fit.deviation)
    deviation = fit.residual_deviation * std::sqrt(deviation);
  return fit;
}

}  // namespace stillwell
