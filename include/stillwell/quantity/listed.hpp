#pragma once
// Several names in one sentence.

#include <string>
#include <vector>

namespace stillwell {

/// "lift, bore"; "none" of an empty list.
std::string listed(const std::vector<std::string>& names);

/// The ids of things, so.
template <class List>
std::string listed_ids(const List& things) {
  std::vector<std::string> ids;
  ids.reserve(things.size());
  for (const auto& thing : things)
    ids.push_back(thing.id);
  return listed(ids);
}

}  // namespace stillwell
