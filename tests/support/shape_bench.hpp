#pragma once
// What the tests of shapes share: making one that must succeed, reading numbers of a table, and the laws that
// hold for every shape.

#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/tank/shape.hpp"

#include <cmath>
#include <limits>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

namespace support {

inline stillwell::ShapePtr made(const stillwell::Result<stillwell::ShapePtr>& result) {
  INFO((result.ok() ? "" : result.error()));
  REQUIRE(result.ok());
  return *result;
}

inline double number(const Csv& table, std::size_t row, const std::string& column) {
  const auto parsed = stillwell::parse_number(table.at(row, column));
  INFO("row " << row << ", column " << column << ": '" << table.at(row, column) << "'");
  REQUIRE(parsed.ok());
  return *parsed;
}

inline double cubic_metres(const stillwell::Shape& shape, double depth) {
  return shape.volume(stillwell::Metres{depth}).value() / 1000.0;
}

/// Contents that differ by less are the same but for rounding: the last bits of a sum of some terms.
inline double rounding_of(double contents) {
  return 64.0 * std::numeric_limits<double>::epsilon() * contents;
}

/// Does the way back from the contents find the depth, within 1e-9 of the height? Where a section shrinks to
/// nothing (the last hair of a sphere, a table that flattens out) many depths hold the same contents but for
/// rounding: there the contents must be found again instead.
inline bool finds_again(const stillwell::Shape& shape, double depth, double height) {
  const stillwell::Litres contents = shape.volume(stillwell::Metres{depth});
  const stillwell::Metres found = shape.depth(contents);
  if (std::abs(found.value() - depth) <= 1e-9 * height) return true;
  return std::abs((shape.volume(found) - contents).value()) <= rounding_of(contents.value());
}

}  // namespace support
