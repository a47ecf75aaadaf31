#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include "stillwell/tank/shapes/dimension.hpp"
#include "stillwell/tank/shapes/dome.hpp"
#include "stillwell/tank/shapes/prism.hpp"

#include <limits>

namespace stillwell {

Result<ShapePtr> vertical_cylinder(Metres diameter, const Head& bottom) {
  constexpr Metres kEndless{std::numeric_limits<double>::infinity()};
  if (auto wrong = not_positive({{"diameter", diameter}})) return *std::move(wrong);
  const auto dome = geometry::make_dome(bottom, diameter);
  if (!dome) return Failure{"bottom: " + dome.error()};
  std::vector<StackSection> sections = dome->upright_bands();
  if (sections.empty()) return vertical_cylinder(diameter);
  sections.push_back({.shape = vertical_cylinder(diameter), .height = kEndless});
  return geometry::piled(sections);
}

}  // namespace stillwell
