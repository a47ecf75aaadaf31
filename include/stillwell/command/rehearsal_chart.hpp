#pragma once
// A rehearsal as the drawing of report/strip_chart.

#include "stillwell/command/rehearsal_story.hpp"
#include "stillwell/rehearsal/trace.hpp"
#include "stillwell/site/model.hpp"

#include <string>

namespace stillwell::command {

std::string rehearsal_svg(const Model& model, const rehearsal::Trace& trace, const RehearsalStory& story);

}  // namespace stillwell::command
