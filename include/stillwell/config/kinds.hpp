#pragma once
// The kinds of scalars. A row per kind tells the loader what to expect and the schema how to describe it.

#include "stillwell/config/grammar.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace stillwell::config {

/// Of any text; also because std::regex recurses once a character.
inline constexpr std::size_t kLongestText = 200;

/// How a kind is written down in YAML and JSON.
enum class Written : std::uint8_t { string, integer, number, boolean };

struct KindRow {
  Kind kind{};
  Written written = Written::string;
  std::string_view name{};       ///< "length"; the name of its definition in the schema
  std::string_view expects{};    ///< "a length such as 2.4 m"
  std::string_view pattern{};    ///< texts: what the whole must match (ECMA-262); empty: any text
  Words units{};                 ///< quantities: the units that may follow the number
  bool number_optional = false;  ///< quantities: a unit alone means one of it
};

/// Only for kinds that are scalars.
const KindRow& row_of(Kind kind);

/// What the whole text must match, as JSON Schema wants it; empty when any text will do.
std::string pattern_of(Kind kind);

/// What a user should have written here: "a length such as 2.4 m (1 cm to 100 m)".
std::string expectation(const Key& key);

/// How a section is written, with its keys: "a map of keys (kind, depth)", "a list [level, volume]".
std::string expected_form(const Section& section);

/// "1 cm to 100 m"; only for a key that has limits.
std::string limits_of(const Key& key);

}  // namespace stillwell::config
