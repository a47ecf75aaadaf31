#include "stillwell/quantity/listed.hpp"

namespace stillwell {

std::string listed(const std::vector<std::string>& names) {
  if (names.empty()) return "none";
  std::string text;
  for (const std::string& name : names)
    text += (text.empty() ? "" : ", ") + name;
  return text;
}

}  // namespace stillwell
