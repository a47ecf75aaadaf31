#pragma once
// How the two kinds of load are written.

#include "stillwell/reading/meter.hpp"

#include <string_view>

namespace stillwell {

constexpr std::string_view unit_of(LoadKind kind) {
  return kind == LoadKind::power ? "W" : "A";
}

}  // namespace stillwell
