#include "yaml_walk.hpp"

#include <set>

namespace stillwell::orchard {

void YamlWalk::complain(const YAML::Node& node, const std::string& path, const std::string& text) {
  const YAML::Mark mark = node.Mark();  // counts from 0
  problems_.push_back({file_, mark.line + 1, mark.column + 1, path, text});
}

void YamlWalk::walk(const YAML::Node& map, const std::string& path, std::span<const Key> keys) {
  if (!map.IsMap()) return complain(map, path, "expected keys and values");
  std::set<std::string> seen;
  for (const auto& entry : map) {
    const std::string name = entry.first.IsScalar() ? entry.first.Scalar() : "?";
    const std::string inner = path.empty() ? name : path + "." + name;
    if (!seen.insert(name).second) {
      complain(entry.first, inner, "is there twice");
      continue;
    }
    const Key* known = nullptr;
    std::string names;
    for (const Key& key : keys) {
      if (key.name == name) known = &key;
      names += (names.empty() ? "" : ", ") + std::string{key.name};
    }
    if (known == nullptr) {
      complain(entry.first, inner, "is no key here; there are " + names);
    } else {
      known->take(entry.second, inner);
    }
  }
  for (const Key& key : keys) {
    if (key.required && !seen.contains(std::string{key.name})) {
      complain(map, path, "'" + std::string{key.name} + "' is missing");
    }
  }
}

}  // namespace stillwell::orchard
