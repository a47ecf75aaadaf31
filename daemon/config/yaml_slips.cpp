#include "stillwell/config/yaml_slips.hpp"

#include <algorithm>

#include <yaml-cpp/exceptions.h>

namespace stillwell::config {
namespace {

/// Without its end; lines count from 1.
std::string_view line_of(std::string_view text, int line) {
  for (int at = 1; at < line && !text.empty(); ++at)
    text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
  return text.substr(0, text.find('\n'));
}

std::optional<Place> tab_in_indentation(std::string_view text, int line) {
  const std::string_view written = line_of(text, line);
  const std::size_t tab = written.substr(0, written.find_first_not_of(" \t")).find('\t');
  if (tab == std::string_view::npos) return {};
  return Place{line, static_cast<int>(tab) + 1};
}

std::string in_plain_words(const std::string& complaint) {
  if (complaint == YAML::ErrorMsg::MAP_VALUE) {
    return "a colon where no key can stand: give each key a line of its own, indented like the keys beside "
           "it; a text that contains ': ' belongs in quotes";
  }
  if (complaint == YAML::ErrorMsg::END_OF_MAP) {
    return "expected 'key: value' here, with a space after the colon and indented like the keys above it";
  }
  if (complaint == YAML::ErrorMsg::FLOW_END) {
    return "this bracket closes none that is open here: its opening one is missing, or is of the other kind";
  }
  return complaint;
}

}  // namespace

Slip explain(std::string_view text, const Slip& complaint, const std::optional<OpenBracket>& open) {
  const bool in_brackets =
      complaint.text == YAML::ErrorMsg::END_OF_MAP_FLOW || complaint.text == YAML::ErrorMsg::END_OF_SEQ_FLOW;
  if (in_brackets && open) {
    return {open->place, std::string("the ") + (open->map ? "{" : "[") +
                             " that opens here is not closed before line " +
                             std::to_string(complaint.place.line) + ", column " +
                             std::to_string(complaint.place.column) + ": write its " +
                             (open->map ? "}" : "]") + ", or the comma or quote that is missing in between"};
  }
  if (const auto tab = tab_in_indentation(text, complaint.place.line)) {
    return {*tab, "a tab stands in the indentation, and YAML takes only spaces: replace it by spaces"};
  }
  return {complaint.place, in_plain_words(complaint.text)};
}

bool quote_is_closed(std::string_view text, const Place& begins) {
  const std::string_view line = line_of(text, begins.line);
  const auto first = static_cast<std::size_t>(begins.column - 1);
  if (first >= line.size()) return true;
  const char quote = line[first];
  if (quote != '"' && quote != '\'') return true;
  for (std::size_t at = first + 1; at < line.size(); ++at) {
    const bool escapes = quote == '"' ? line[at] == '\\' : line.substr(at).starts_with("''");
    if (escapes) {
      ++at;
    } else if (line[at] == quote) {
      return true;
    }
  }
  return false;
}

}  // namespace stillwell::config
