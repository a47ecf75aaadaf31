#pragma once
// The usual slips in a YAML file, in plain words and at the place where they are mended: the parser complains
// in its own terms, and often lines later.

#include "stillwell/config/problems.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace stillwell::config {

/// The innermost { or [ that was open when the parser gave up.
struct OpenBracket {
  Place place;
  bool map = true;  ///< a {, otherwise a [
};

struct Slip {
  Place place;
  std::string text;
};

/// What the parser's complaint about a text means.
Slip explain(std::string_view text, const Slip& complaint, const std::optional<OpenBracket>& open);

/// Whether the quoted text that begins at a place ends on the same line.
bool quote_is_closed(std::string_view text, const Place& begins);

}  // namespace stillwell::config
