#pragma once
// A tank to scale, with what stands at which height: a drawing for the pump house.

#include "stillwell/site/model.hpp"

#include <string>

namespace stillwell::report {

/// The same configuration gives the same bytes. A tank that is kept by floats alone has no heights and no
/// walls: it is drawn as a diagram, which the sheet says. `source` names the configuration.
std::string section_svg(const Model& model, TankIndex tank, const std::string& source);

}  // namespace stillwell::report
