#include "stillwell/report/section_style.hpp"

#include "stillwell/quantity/units.hpp"
#include "stillwell/report/drafting.hpp"
#include "stillwell/report/figures.hpp"

namespace stillwell::report::draft {

std::string_view colour_of(SectionKind kind) {
  switch (kind) {
    case SectionKind::alarm: return "#a61c1c";
    case SectionKind::start:
    case SectionKind::second:
    case SectionKind::stop: return "#14602f";
    case SectionKind::high_trip:
    case SectionKind::source_trip: return "#8a4b00";
    case SectionKind::full: return kWaterline;
    case SectionKind::sensor:
    case SectionKind::blanking:
    case SectionKind::reach:
    case SectionKind::turns: return "#4a2f80";
    case SectionKind::top:
    case SectionKind::unusable:
    case SectionKind::gauge_floor:
    case SectionKind::floor: return kInk;
  }
  return kInk;
}

std::string_view dashes_of(SectionKind kind) {
  switch (kind) {
    case SectionKind::alarm: return "7 4";
    case SectionKind::high_trip:
    case SectionKind::source_trip: return "9 3 2 3";
    case SectionKind::turns:
    case SectionKind::reach: return "2 3";
    default: return "";
  }
}

bool crosses_tank(SectionKind kind) {
  return kind != SectionKind::sensor && kind != SectionKind::blanking && kind != SectionKind::top &&
         kind != SectionKind::floor;
}

std::string until_text(const SectionRow& row) {
  if (!row.until) return "";
  const std::string height = to_text(*row.until);
  if (row.kind == SectionKind::alarm) return "; clears at " + height;
  if (row.kind == SectionKind::high_trip) return "; free below " + height;
  if (row.kind == SectionKind::source_trip) return "; free from " + height;
  return "";
}

std::string view_text(Elevation view) {
  switch (view) {
    case Elevation::round: return "upright and round, from beside";
    case Elevation::front: return "square to its length";
    case Elevation::end: return "lying, its cross-section";
    case Elevation::side: return "lying, from beside";
    case Elevation::stack: return "sections, each about its middle";
    case Elevation::even: return "not its walls: an even section";
  }
  return "";
}

std::string scale_text(const Frame& frame) {
  const std::string heights = "1:" + plain(frame.along);
  const std::string all =
      frame.along == frame.across ? heights : "heights " + heights + ", widths 1:" + plain(frame.across);
  return all + ", printed at 100 %";
}

std::vector<std::string> notes_for(const Frame& frame, const Tank& tank) {
  const bool lies = tank.outline->view == Elevation::side;
  std::vector<std::string> notes{std::string(kNoSubstitute),
                                 std::string("Heights are above the lowest point inside. ") +
                                     (lies ? "Sensors are drawn where gauge_at says, or over the middle."
                                           : "Where sensors sit across the tank is not told.")};
  if (tank.outline->view == Elevation::even)
    notes.emplace_back(
        "The configuration says what the tank holds and not what its walls are: drawn is a round vessel of "
        "the "
        "same contents, as wide below as above.");
  if (tank.outline->goes_on && frame.top > frame.solid)
    notes.emplace_back("How high the walls stand above the full line is not configured: dashed.");
  if (frame.along != frame.across) notes.emplace_back("Heights and widths are drawn to different scales.");
  return notes;
}

}  // namespace stillwell::report::draft
