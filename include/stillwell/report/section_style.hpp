#pragma once
// How the rows of a section look, and what a sheet says beside its drawing.

#include "stillwell/report/section_frame.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report::draft {

std::string_view colour_of(SectionKind kind);
/// Of the line across the tank; what colours tell apart, dashes do too.
std::string_view dashes_of(SectionKind kind);
/// Whether a row has a line across the tank at all.
bool crosses_tank(SectionKind kind);

/// What follows the words of a row: "; clears at 0.490 m".
std::string until_text(const SectionRow& row);
std::string view_text(Elevation view);
std::string scale_text(const Frame& frame);
/// Below a drawing to scale.
std::vector<std::string> notes_for(const Frame& frame, const Tank& tank);

/// So that a sheet is never taken for more than it is.
inline constexpr std::string_view kNoSubstitute =
    "No substitute for measuring: dip the tank and measure with a tape before you rely on this sheet.";

}  // namespace stillwell::report::draft
