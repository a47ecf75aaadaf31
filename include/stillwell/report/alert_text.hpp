#pragma once
// What a person reads on a phone when an alarm rises: what is wrong where, what to do, how urgent it is.

#include "stillwell/site/solve.hpp"

#include <string>

namespace stillwell::report {

/// Of the alarm at a position; empty while nobody is to be told: it is normal, or put aside. It holds no
/// measured value, with which it would be published anew at every reading.
std::string alert_text(const Model& model, const View& view, std::size_t alarm);

}  // namespace stillwell::report
