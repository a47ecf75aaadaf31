#pragma once
// Carrying out what a person asked. Every command is answered, and every one is an event, also a refused one.

#include "stillwell/site/solve.hpp"

#include <vector>

namespace stillwell {

void obey(const Model& model, Memory& memory, const InputImage& image, const Command& command,
          Outcome& outcome);

}  // namespace stillwell
