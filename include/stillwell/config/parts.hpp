#pragma once
// What a written map may contain: the keys of its section, and those of the sections that its words bring
// (When::adds).

#include "stillwell/config/document.hpp"
#include "stillwell/config/grammar.hpp"

#include <string_view>
#include <vector>

namespace stillwell::config {

/// The section itself, and what stands beside it.
using Parts = std::vector<const Section*>;

/// Whether the rule's key is written, with the rule's word.
bool applies(const When& rule, const Item& item);

Parts parts_of(const Item& item, const Section& section);

const Key* find(const Parts& parts, std::string_view name);

/// Of every key; one that stands in two parts is named twice.
std::vector<std::string_view> names_of(const Parts& parts);

/// The rule that would bring a key; nullptr when none does.
const When* rule_that_adds(const Section& section, std::string_view name);

}  // namespace stillwell::config
