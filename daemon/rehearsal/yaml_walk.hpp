#pragma once
// Walking a small YAML file: allowed keys, single values, and every complaint with its place. Private to this
// room, because it shows the parser's types.

#include "stillwell/config/configuration.hpp"
#include "stillwell/quantity/result.hpp"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include <yaml-cpp/yaml.h>

namespace stillwell::rehearsal {

/// One key and what becomes of its value; the path names the value in complaints.
struct Key {
  std::string_view name;
  std::function<void(const YAML::Node&, const std::string& path)> take;
  bool required = false;
};

class YamlWalk {
 public:
  explicit YamlWalk(std::string file) : file_{std::move(file)} {}

  void complain(const YAML::Node& node, const std::string& path, const std::string& text);

  /// Hands each value of a map to its key; complains about keys that are unknown, twice there or missing.
  void walk(const YAML::Node& map, const std::string& path, std::span<const Key> keys);

  /// The value that `parse` makes of a scalar, or a complaint and nothing.
  template <class Parse>
  auto scalar(const YAML::Node& node, const std::string& path, Parse parse)
      -> std::optional<std::decay_t<decltype(parse(std::string_view{}).value())>> {
    if (!node.IsScalar()) {
      complain(node, path, "expected a single value");
      return std::nullopt;
    }
    const auto parsed = parse(std::string_view{node.Scalar()});
    if (parsed) return *parsed;
    complain(node, path, parsed.error());
    return std::nullopt;
  }

  template <class Parse, class T>
  void into(T& target, const YAML::Node& node, const std::string& path, Parse parse) {
    if (const auto value = scalar(node, path, parse)) target = *value;
  }

  [[nodiscard]] const std::vector<config::Problem>& problems() const { return problems_; }

 private:
  const Key* find(std::span<const Key> keys, const YAML::Node& name, const std::string& path);

  std::string file_;
  std::vector<config::Problem> problems_;
};

}  // namespace stillwell::rehearsal
