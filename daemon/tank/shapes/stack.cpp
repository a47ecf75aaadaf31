#include "stillwell/tank/shapes/stack.hpp"

#include "stillwell/tank/shapes/dimension.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

struct Storey {
  ShapePtr shape;
  Metres floor;
  Metres ceiling;
  Litres below;  ///< contents of all under it
  Litres full;   ///< those and its own
};

std::vector<Storey> storeys_of(const std::vector<StackSection>& sections) {
  std::vector<Storey> storeys;
  Metres floor{0.0};
  Litres below{0.0};
  for (const auto& [shape, height] : sections) {
    const Metres ceiling = floor + height;
    const Litres full = below + shape->volume(height);
    storeys.push_back({shape, floor, ceiling, below, full});
    floor = ceiling;
    below = full;
  }
  return storeys;
}

class Stack final : public Shape {
 public:
  explicit Stack(const std::vector<StackSection>& sections) : storeys_{storeys_of(sections)} {}

  [[nodiscard]] Litres volume(Metres depth) const override {
    const Storey& in = storey_of(depth);
    return in.below + in.shape->volume(std::min(depth, in.ceiling) - in.floor);
  }
  [[nodiscard]] Metres depth(Litres volume) const override {
    const auto in = std::find_if(storeys_.begin(), storeys_.end() - 1,
                                 [volume](const Storey& storey) { return volume <= storey.full; });
    return std::min(in->floor + in->shape->depth(volume - in->below), in->ceiling);
  }
  [[nodiscard]] SquareMetres surface(Metres depth) const override {
    const Storey& in = storey_of(depth);
    return depth > in.ceiling ? SquareMetres{0.0} : in.shape->surface(depth - in.floor);
  }
  [[nodiscard]] std::optional<Metres> height() const override {
    const Metres top = storeys_.back().ceiling;
    return std::isfinite(top.value()) ? std::optional{top} : std::nullopt;
  }

 private:
  /// The lowest one that reaches as high as `depth`; the last when none does. A joint belongs to the one
  /// below.
  [[nodiscard]] const Storey& storey_of(Metres depth) const {
    return *std::find_if(storeys_.begin(), storeys_.end() - 1,
                         [depth](const Storey& storey) { return depth <= storey.ceiling; });
  }

  std::vector<Storey> storeys_;  ///< never empty
};

std::optional<Failure> wrong_with(const StackSection& section, const std::string& name) {
  if (auto wrong = not_positive({{name + ": height", section.height}})) return wrong;
  const auto own = section.shape->height();
  if (own && section.height > *own)
    return Failure{name + ": height is " + in_words(section.height) + ", but its shape ends at " +
                   in_words(*own) + "; give at most that"};
  return std::nullopt;
}

}  // namespace

ShapePtr geometry::piled(const std::vector<StackSection>& sections) {
  return std::make_shared<Stack>(sections);
}

Result<ShapePtr> stack(const std::vector<StackSection>& sections) {
  constexpr std::size_t kMost = 32;
  if (sections.empty()) return Failure{"sections is empty; give at least one, bottom up"};
  if (sections.size() > kMost) return Failure{"more than 32 sections; give a strapping table instead"};
  for (std::size_t i = 0; i < sections.size(); ++i) {
    if (auto wrong = wrong_with(sections[i], "section " + std::to_string(i + 1) + " from the bottom"))
      return *std::move(wrong);
  }
  return geometry::piled(sections);
}

}  // namespace stillwell
