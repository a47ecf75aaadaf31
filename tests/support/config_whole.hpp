#pragma once

#include "stillwell/config/configuration.hpp"

#include <string>

#include "support/catch.hpp"

namespace support {

/// The configuration of a text that has no fault.
inline stillwell::config::Configuration whole(const std::string& text) {
  const auto loaded = stillwell::config::parse(text, "site.yaml");
  for (const auto& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.configuration);
  return *loaded.configuration;
}

}  // namespace support
