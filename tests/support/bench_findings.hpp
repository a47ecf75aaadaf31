#pragma once
// Findings of the base configuration with some changes.
#include "stillwell/config/configuration.hpp"

#include <algorithm>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "support/catch.hpp"
#include "support/config_base.hpp"

namespace support {

using namespace stillwell::config;

using Changes = std::vector<std::pair<std::string, std::string>>;

inline Loaded loaded_with(const Changes& changes) {
  std::string text = kConfigBase;
  for (const auto& [from, to] : changes) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::runtime_error("the base does not contain: " + from);
    text.replace(at, from.size(), to);
  }
  Loaded loaded = parse(text, "site.yaml");
  for (const Problem& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.configuration);
  return loaded;
}

inline std::vector<Finding> findings_of(const Changes& changes) {
  return examine(*loaded_with(changes).configuration);
}

inline std::vector<Finding> coded(const std::string& code, const std::vector<Finding>& all) {
  std::vector<Finding> some;
  std::copy_if(all.begin(), all.end(), std::back_inserter(some),
               [&](const Finding& f) { return f.code == code; });
  return some;
}

struct Expected {
  std::string code;
  Severity severity;
  std::string of;
  std::vector<std::string> says;
};

inline void expect(const Expected& expected, const Changes& changes) {
  INFO(expected.code);
  CHECK(coded(expected.code, findings_of({})).empty());
  const auto found = coded(expected.code, findings_of(changes));
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == expected.severity);
  CHECK(found[0].of == expected.of);
  for (const std::string& part : expected.says) {
    INFO(found[0].text);
    CHECK(found[0].text.find(part) != std::string::npos);
  }
}

inline constexpr auto kWarning = Severity::warning;
inline constexpr auto kNote = Severity::note;

}  // namespace support
