#pragma once
// ${NAME} in a path, replaced from the environment.

#include "stillwell/quantity/result.hpp"

#include <string>
#include <string_view>

namespace stillwell::config {

struct Expanded {
  std::string text;
  std::string unset{};  ///< the first variable that is not in the environment; it is left as it is written
};

/// Fails when a ${ is not closed or names nothing.
Result<Expanded> expand(std::string_view text);

}  // namespace stillwell::config
