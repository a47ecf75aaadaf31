#pragma once
// First-out among alarms: one cause that brings others shows as the first, and the others as its
// consequences. Read anew in every scan from what stands, so that a restart changes nothing.

#include "stillwell/site/solve.hpp"

#include <optional>

namespace stillwell {

/// The alarm that brought this one, by its position: the first of those that stand and began no later, as far
/// back as the table of consequences leads. Empty when it is itself the first, or does not stand.
std::optional<std::size_t> brought_by(const Model& model, const Memory& memory, std::size_t alarm);

}  // namespace stillwell
