#include "stillwell/config/build.hpp"

namespace stillwell::config {
namespace {

/// Homie 5 ends the topic of a command with it, so no id may be it.
void refuse_set(Build& build, const std::string& id, const Spot& spot) {
  if (id == "set") build.tell(spot, "'set' has a meaning of its own in topics; choose another id");
}

void refuse_taken(Build& build, const Checked& one, std::string_view by, std::string_view what) {
  const auto other = build.root.position(by, one.id);
  if (!other) return;
  const int line = build.root.named(by)[*other].spot.place.line;
  build.tell(one.spot, std::string(what) + " in line " + std::to_string(line) +
                           " has this name; tanks, pumps and sets share one list of names in topics");
}

}  // namespace

void check_names(Build& build) {
  if (const Checked* site = build.root.part("site")) refuse_set(build, build.out.model.id, site->at("id"));
  for (const Checked& tank : build.root.named("tanks")) {
    refuse_set(build, tank.id, tank.spot);
    if (tank.id == "unwatched")
      build.tell(tank.spot, "'unwatched' means no tank at all in from; choose another id");
  }
  for (const std::string_view of : {"pumps", "pump_sets"}) {
    for (const Checked& one : build.root.named(of)) {
      refuse_set(build, one.id, one.spot);
      refuse_taken(build, one, "tanks", "a tank");
      if (of == "pump_sets") refuse_taken(build, one, "pumps", "a pump");
    }
  }
}

}  // namespace stillwell::config
