#include "yaml_walk.hpp"

#include <set>

namespace stillwell::rehearsal {

void YamlWalk::complain(const YAML::Node& node, const std::string& path, const std::string& text) {
  const YAML::Mark mark = node.Mark();  // counts from 0
  problems_.push_back({file_, mark.line + 1, mark.column + 1, path, text});
}

const Key* YamlWalk::find(std::span<const Key> keys, const YAML::Node& name, const std::string& path) {
  std::string names;
  for (const Key& key : keys) {
    if (name.IsScalar() && key.name == name.Scalar()) return &key;
    names += (names.empty() ? "" : ", ");
    names += key.name;
  }
  complain(name, path, "is no key here; there are " + names);
  return nullptr;
}

void YamlWalk::walk(const YAML::Node& map, const std::string& path, std::span<const Key> keys) {
  if (!map.IsMap()) return complain(map, path, "expected keys and values");
  std::set<std::string_view> seen;
  for (const auto& entry : map) {
    std::string inner = path;
    if (!path.empty()) inner += '.';
    inner += entry.first.IsScalar() ? entry.first.Scalar() : "?";
    const Key* const key = find(keys, entry.first, inner);
    if (key == nullptr) continue;
    if (seen.insert(key->name).second) {
      key->take(entry.second, inner);
    } else {
      complain(entry.first, inner, "is there twice");
    }
  }
  for (const Key& key : keys) {
    if (key.required && !seen.contains(key.name)) {
      complain(map, path, "'" + std::string{key.name} + "' is missing");
    }
  }
}

}  // namespace stillwell::rehearsal
