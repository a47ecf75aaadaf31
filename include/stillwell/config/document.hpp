#pragma once
// A YAML file as a tree with a place on every node. What YAML offers and a checked file has no use for is
// refused here: anchors and aliases, tags, merge keys, duplicate keys, keys that are not words, second
// documents.

#include "stillwell/config/problems.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

struct Entry;

struct Item {
  enum class Type : std::uint8_t { nothing, scalar, list, map };

  Type type = Type::nothing;
  Place place;
  std::string text;     ///< scalar: as written, without quotes
  bool quoted = false;  ///< scalar: it was in quotes, so it is a text whatever it looks like
  std::vector<Item> items;
  std::vector<Entry> entries;  ///< map: in the order of the file, each key once

  [[nodiscard]] const Entry* find(std::string_view key) const;
};

struct Entry {
  std::string key;
  Place place;  ///< of the key
  Item value;
};

/// More than any site needs; keeps a hostile or mistaken file from costing memory (yaml-cpp takes a hundred
/// times the size of some files).
inline constexpr std::size_t kLargestFile = std::size_t{256} * 1024;

/// The root of the only document, or nothing when the text is no usable YAML. Problems may be added in both
/// cases.
std::optional<Item> read_document(std::string_view text, Problems& problems);

}  // namespace stillwell::config
