// Shapes from their dimensions. What a dimension alone can be wrong about the grammar has told; what is left
// is how they fit each other, and that the shapes know themselves.
#include "stillwell/config/build.hpp"
#include "stillwell/tank/shapes/horizontal_cylinder.hpp"
#include "stillwell/tank/shapes/oval.hpp"
#include "stillwell/tank/shapes/prism.hpp"
#include "stillwell/tank/shapes/stack.hpp"
#include "stillwell/tank/shapes/taper.hpp"
#include "stillwell/tank/shapes/vertical_cylinder.hpp"

#include <algorithm>
#include <array>

namespace stillwell::config {
namespace {

/// All of the lengths; empty when one was wrong, which has been told.
template <std::size_t N>
std::optional<std::array<Metres, N>> lengths(const Checked& section,
                                             const std::array<std::string_view, N>& names) {
  std::array<Metres, N> all{};
  for (std::size_t i = 0; i < N; ++i) {
    const auto one = section.get<Metres>(names[i]);
    if (!one) return {};
    all[i] = *one;
  }
  return all;
}

/// What cannot be is told; of a shape that can, `outline_of` makes the drawing.
template <class OutlineOf>
Inside made(Build& build, const Spot& spot, const Result<ShapePtr>& shape, const OutlineOf& outline_of) {
  if (shape) return {.shape = *shape, .outline = outline_of(**shape)};
  build.tell(spot, shape.error());
  return {};
}

/// Of a round vessel that is closed at its own top.
Outline whole_outline(const Shape& shape) {
  return round_outline(shape, shape.height().value_or(Metres{0.0}));
}

// Heads.

std::optional<Head> head_of(const Checked& part) {
  const std::string kind = value_or<std::string>(part, "kind");
  const auto depth = part.get<Metres>("depth");
  const auto crown = part.get<double>("crown");
  const auto knuckle = part.get<double>("knuckle");
  if (kind == "flat") return Flat{};
  if (kind == "hemispherical") return Hemispherical{};
  if (kind == "ellipsoidal" && (depth || !part.has("depth"))) return Ellipsoidal{depth};
  if (kind == "conical" && depth) return Conical{*depth};
  if (kind == "dished" && depth) return Dished{*depth};
  if (kind == "torispherical" && crown && knuckle) return Torispherical{*crown, *knuckle};
  return {};
}

/// A head that fits a shell of that diameter; told when it does not.
std::optional<Head> build_head(Build& build, const Checked& part, Metres diameter) {
  auto head = head_of(part);
  if (!head) return {};
  const auto size = size_of(*head, diameter);
  if (size) return head;
  build.tell(part.at(std::holds_alternative<Torispherical>(*head) ? "knuckle" : "depth"), size.error());
  return {};
}

// Shapes.

Inside build_vertical(Build& build, const Checked& section) {
  const auto diameter = section.get<Metres>("diameter");
  if (!diameter) return {};
  const Checked* bottom = section.part("bottom");
  const auto head = bottom == nullptr ? Head{Flat{}} : build_head(build, *bottom, *diameter);
  if (!head) return {};
  return made(build, section.spot, vertical_cylinder(*diameter, *head), [&](const Shape& shape) {
    const auto size = size_of(*head, *diameter);
    return round_outline(shape, size ? size->depth : Metres{0.0});
  });
}

Inside build_lying(Build& build, const Checked& section) {
  const auto sizes = lengths<2>(section, {"diameter", "length"});
  if (!sizes) return {};
  HorizontalCylinder lying{.diameter = sizes->at(0),
                           .length = sizes->at(1),
                           .tilt = value_or<Metres>(section, "tilt"),
                           .gauge_at = value_or<Metres>(section, "gauge_at")};
  const std::vector<Checked>& heads = section.all("heads");
  for (std::size_t i = 0; i < heads.size(); ++i) {
    const auto head = build_head(build, heads[i], lying.diameter);
    if (!head) return {};
    if (i == 0) lying.near = *head;
    lying.far = *head;
  }
  const std::string_view place = lying.gauge_at > lying.length ? "gauge_at" : "tilt";
  Inside inside = made(build, section.at(place), horizontal_cylinder(lying),
                       [&](const Shape& /*shape*/) { return lying_outline(lying); });
  if (inside.shape) inside.gauge_floor = floor_under_gauge(lying);
  return inside;
}

std::optional<LyingVessel> vessel_of(const Checked& section) {
  const auto sizes = lengths<3>(section, {"width", "height", "length"});
  if (!sizes) return {};
  return LyingVessel{.width = sizes->at(0), .height = sizes->at(1), .length = sizes->at(2)};
}

Inside build_oval(Build& build, const Checked& section) {
  const auto vessel = vessel_of(section);
  if (!vessel) return {};
  return made(build, section.spot, horizontal_oval(*vessel),
              [&](const Shape& shape) { return end_outline(shape, vessel->length); });
}

Inside build_obround(Build& build, const Checked& section) {
  const auto vessel = vessel_of(section);
  if (!vessel) return {};
  return made(build, section.spot, horizontal_obround(*vessel),
              [&](const Shape& shape) { return end_outline(shape, vessel->length); });
}

Inside build_rectangular(Build& /*build*/, const Checked& section) {
  const auto sides = lengths<2>(section, {"length", "width"});
  if (!sides) return {};
  return {.shape = rectangular(sides->at(0), sides->at(1)), .outline = box_outline(sides->at(0))};
}

std::optional<Rectangle> rectangle_of(const Checked& section, std::string_view key) {
  const Checked* part = section.part(key);
  if (part == nullptr) return {};
  const auto sides = lengths<2>(*part, {"length", "width"});
  if (!sides) return {};
  return Rectangle{.length = sides->at(0), .width = sides->at(1)};
}

Inside build_prismatoid(Build& build, const Checked& section) {
  const auto bottom = rectangle_of(section, "bottom");
  const auto top = rectangle_of(section, "top");
  const auto height = section.get<Metres>("height");
  if (!bottom || !top || !height) return {};
  return made(build, section.spot, rectangular_frustum({.bottom = *bottom, .top = *top, .height = *height}),
              [&](const Shape& /*shape*/) { return leaning_outline(bottom->length, top->length, *height); });
}

Inside build_cone(Build& build, const Checked& section) {
  const auto sizes = lengths<2>(section, {"diameter", "height"});
  if (!sizes) return {};
  return made(build, section.spot, cone(sizes->at(0), sizes->at(1)), whole_outline);
}

Inside build_frustum(Build& build, const Checked& section) {
  const auto sizes = lengths<3>(section, {"bottom", "top", "height"});
  if (!sizes) return {};
  return made(build, section.at("top"),
              frustum({.bottom = sizes->at(0), .top = sizes->at(1), .height = sizes->at(2)}), whole_outline);
}

Inside build_sphere(Build& build, const Checked& section) {
  const auto diameter = section.get<Metres>("diameter");
  return diameter ? made(build, section.spot, sphere(*diameter), whole_outline) : Inside{};
}

/// Where a stack that cannot be is wrong: a section higher than its shape, or all of them.
Spot wrong_section(const Checked& section, const std::vector<StackSection>& storeys) {
  const auto higher = std::ranges::find_if(storeys, [](const StackSection& storey) {
    const auto top = storey.shape->height();
    return top && storey.height > *top;
  });
  if (higher == storeys.end()) return section.at("sections");
  return section.all("sections").at(static_cast<std::size_t>(higher - storeys.begin())).at("height");
}

Inside build_stack(Build& build, const Checked& section) {
  std::vector<StackSection> storeys;
  std::vector<OutlineSection> outlines;
  for (const Checked& part : section.all("sections")) {
    if (part.has("tilt")) build.tell(part.at("tilt"), "a section of a stack lies level; remove it");
    const Inside inside = build_shape(build, part);
    const auto height = part.get<Metres>("height");
    if (!inside.shape || !height) continue;
    storeys.push_back({.shape = inside.shape, .height = *height});
    outlines.push_back({.outline = inside.outline.value(), .height = *height});
  }
  if (storeys.empty() || storeys.size() < section.all("sections").size()) return {};
  return made(build, wrong_section(section, storeys), stack(storeys),
              [&](const Shape& /*shape*/) { return stacked_outline(outlines); });
}

struct Row {
  std::string_view shape;
  Inside (*build)(Build& build, const Checked& section);
};
constexpr std::array<Row, 10> kRows{{{"vertical-cylinder", build_vertical},
                                     {"horizontal-cylinder", build_lying},
                                     {"horizontal-oval", build_oval},
                                     {"horizontal-obround", build_obround},
                                     {"rectangular", build_rectangular},
                                     {"rectangular-frustum", build_prismatoid},
                                     {"cone", build_cone},
                                     {"frustum", build_frustum},
                                     {"sphere", build_sphere},
                                     {"stack", build_stack}}};

}  // namespace

Inside build_shape(Build& build, const Checked& section) {
  const auto shape = section.get<std::string>("shape");
  const auto row = std::ranges::find_if(kRows, [&](const Row& one) { return shape && one.shape == *shape; });
  return row == kRows.end() ? Inside{} : row->build(build, section);
}

}  // namespace stillwell::config
