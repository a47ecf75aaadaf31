#include "stillwell/config/build.hpp"

namespace stillwell::config {
namespace {

/// Homie 5 ends the topic of a command with it, so no id may be it.
void refuse_set(Build& build, const std::string& id, const Spot& spot) {
  if (id == "set") build.tell(spot, "'set' has a meaning of its own in topics; choose another id");
}

}  // namespace

void check_names(Build& build) {
  if (const Checked* site = build.root.part("site")) refuse_set(build, build.out.model.id, site->at("id"));
  for (const Checked& tank : build.root.named("tanks")) {
    refuse_set(build, tank.id, tank.spot);
    if (tank.id == "unwatched")
      build.tell(tank.spot, "'unwatched' means no tank at all in from; choose another id");
  }
  for (const Checked& pump : build.root.named("pumps")) {
    refuse_set(build, pump.id, pump.spot);
    const auto tank = build.root.position("tanks", pump.id);
    if (!tank) continue;
    build.tell(pump.spot, "a tank in line " +
                              std::to_string(build.root.named("tanks")[*tank].spot.place.line) +
                              " has this name; tanks and pumps share one list of names in topics");
  }
}

}  // namespace stillwell::config
