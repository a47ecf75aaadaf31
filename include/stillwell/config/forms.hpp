#pragma once
// The short ways of writing a section: a word, or a row of values.

#include "stillwell/config/document.hpp"
#include "stillwell/config/grammar.hpp"

#include <optional>

namespace stillwell::config {

/// The map that a short form stands for; empty when the item is none that the section allows.
std::optional<Item> spelled_out(const Item& item, const Section& section);

}  // namespace stillwell::config
