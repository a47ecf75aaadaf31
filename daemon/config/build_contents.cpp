// What a tank holds, from a shape less its fittings, or from a measured table.
#include "stillwell/config/build.hpp"
#include "stillwell/config/small_file.hpp"
#include "stillwell/config/utf8.hpp"
#include "stillwell/config/variables.hpp"
#include "stillwell/tank/deadwood.hpp"
#include "stillwell/tank/strapping_file.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

constexpr std::size_t kLargestTable = std::size_t{1024} * 1024;  // ten thousand points with their units

/// Where fittings do not fit: the first that would not even alone, or all of them.
Spot wrong_fitting(const Checked& holds, const ShapePtr& shape, const std::vector<Deadwood>& fittings) {
  const auto wrong = std::ranges::find_if(
      fittings, [&](const Deadwood& fitting) { return !without_deadwood(shape, {fitting}).ok(); });
  if (wrong == fittings.end()) return holds.at("deadwood");
  return holds.all("deadwood").at(static_cast<std::size_t>(wrong - fittings.begin())).spot;
}

ShapePtr less_fittings(Build& build, const Checked& holds, const ShapePtr& shape) {
  std::vector<Deadwood> fittings;
  for (const Checked& part : holds.all("deadwood")) {
    const auto from = part.get<Metres>("from");
    const auto to = part.get<Metres>("to");
    const auto volume = part.get<Litres>("volume");
    if (from && to && volume) fittings.push_back({.from = *from, .to = *to, .volume = *volume});
  }
  if (fittings.empty() || fittings.size() < holds.all("deadwood").size()) return shape;
  const auto left = without_deadwood(shape, fittings);
  if (left) return *left;
  build.tell(wrong_fitting(holds, shape, fittings), left.error());
  return nullptr;
}

ShapePtr build_strapping(Build& build, const Checked& holds) {
  std::vector<StrapPoint> points;
  for (const Checked& part : holds.all("strapping")) {
    const auto level = part.get<Metres>("level");
    const auto volume = part.get<Litres>("volume");
    if (level && volume) points.push_back({.depth = *level, .volume = *volume});
  }
  if (points.empty() || points.size() < holds.all("strapping").size()) return nullptr;
  const auto shape = strapping(points);
  if (shape) return *shape;
  build.tell(holds.at("strapping"), shape.error());
  return nullptr;
}

Result<ShapePtr> read_table(const std::filesystem::path& file) {
  const auto text = read_small_file(file, kLargestTable);
  if (!text) return Failure{text.error()};
  if (text->size() > kLargestTable) return Failure{"larger than 1024 kB: this is no strapping table"};
  if (const auto place = first_bad_character(*text)) {
    return Failure{"line " + std::to_string(place->line) +
                   ": a byte that is not UTF-8: save the file as UTF-8"};
  }
  const auto points = parse_strapping(*text);
  if (!points) return Failure{points.error()};
  return strapping(*points);
}

ShapePtr build_strapping_file(Build& build, const Checked& holds, const std::string& name) {
  const Spot spot = holds.at("strapping_file");
  const auto expanded = expand(name);
  if (!expanded) {
    build.tell(spot, expanded.error());
    return nullptr;
  }
  if (!expanded->unset.empty()) {
    build.tell(spot, "the variable " + expanded->unset + " is not set in the environment");
    return nullptr;
  }
  const std::filesystem::path file = build.folder / expanded->text;
  const auto shape = read_table(file);
  if (shape) return *shape;
  build.tell(spot, file.string() + ": " + shape.error());
  return nullptr;
}

}  // namespace

Inside build_inside(Build& build, const Checked& holds) {
  if (holds.has("strapping")) return {.shape = build_strapping(build, holds)};
  if (const auto name = holds.get<std::string>("strapping_file")) {
    return {.shape = build_strapping_file(build, holds, *name)};
  }
  Inside inside = build_shape(build, holds);
  if (inside.shape) inside.shape = less_fittings(build, holds, inside.shape);
  return inside;
}

}  // namespace stillwell::config
