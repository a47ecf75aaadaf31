#pragma once
// What the commands of site/commands.cpp share: the site that one finds, and what comes of it.

#include "stillwell/site/solve.hpp"

#include <algorithm>
#include <optional>
#include <string>

namespace stillwell {

/// What came of a command, before it is told.
struct CommandReply {
  bool done = false;
  std::string text;
  bool is_news = true;  ///< false: no event tells of it
};

/// A site that a command changes, and the scan in which it does.
struct CommandCase {
  const Model& model;
  Memory& memory;
  const InputImage& image;
  Outcome& outcome;
};

/// The place of a thing in its list, by its id.
template <class List>
std::optional<std::size_t> find_id(const List& list, const std::string& id) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.id == id; });
  if (found == list.end()) return std::nullopt;
  return static_cast<std::size_t>(found - list.begin());
}

}  // namespace stillwell
