// Floats at known heights of tanks with gauges, which may confirm what the gauges show.
#include "stillwell/config/build.hpp"

#include <map>

namespace stillwell::config {
namespace {

/// A float hangs in one place.
bool hangs_once(Build& build, const Checked& tank, const Spot& spot, SwitchIndex input,
                std::map<std::size_t, std::string>& owners) {
  const auto [first, is_new] = owners.emplace(input.at, tank.id);
  if (is_new) return true;
  build.tell(spot, "tank '" + first->second + "' has this float at a mark already; it hangs in one place");
  return false;
}

std::optional<TankMark> build_mark(Build& build, const Checked& mark, TankIndex index,
                                   std::map<std::size_t, std::string>& owners) {
  const auto position = build.refer(mark, "float", "switches");
  const bool on_is_above = mark.has("on_above");
  const auto at = level_at(build, mark, on_is_above ? "on_above" : "on_below", index);
  if (!position) return {};
  const SwitchIndex input{*position};
  if (!hangs_once(build, build.root.named("tanks")[index.at], mark.at("float"), input, owners)) return {};
  const Switch& known = build.out.model.switches.at(*position);
  if (!known.rules.broken_is_on) {
    build.tell(mark.at("float"), "switch '" + known.id +
                                     "' does not declare what a broken wire looks like; a mark needs broken: "
                                     "on or off, so that a broken wire confirms nothing");
  }
  if (!at || !known.rules.broken_is_on) return {};
  return TankMark{input,
                  {.at = *at,
                   .swing = value_or<Metres>(mark, "swing"),
                   .on_is_above = on_is_above,
                   .broken_is_on = *known.rules.broken_is_on}};
}

}  // namespace

void build_marks(Build& build) {
  std::map<std::size_t, std::string> owners;
  const std::vector<Checked>& tanks = build.root.named("tanks");
  for (std::size_t at = 0; at < tanks.size(); ++at) {
    for (const Checked& section : tanks[at].all("marks")) {
      if (const auto mark = build_mark(build, section, {at}, owners))
        build.out.model.tanks[at].marks.push_back(*mark);
    }
  }
}

}  // namespace stillwell::config
