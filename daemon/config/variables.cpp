#include "stillwell/config/variables.hpp"

#include <algorithm>
#include <cstdlib>

namespace stillwell::config {
namespace {

bool is_name(std::string_view name) {
  constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_0123456789";
  return !name.empty() && name.find_first_not_of(kLetters) == std::string_view::npos &&
         !(name.front() >= '0' && name.front() <= '9');
}

}  // namespace

Result<Expanded> expand(std::string_view text) {
  Expanded expanded;
  while (true) {
    const std::size_t begin = text.find("${");
    expanded.text += text.substr(0, begin);
    if (begin == std::string_view::npos) return expanded;
    const std::size_t end = text.find('}', begin);
    const std::string name(text.substr(begin + 2, end == std::string_view::npos ? end : end - begin - 2));
    if (end == std::string_view::npos || !is_name(name)) {
      return Failure{"'" + std::string(text.substr(begin)) + "' is not a variable; expected ${NAME}"};
    }
    if (const char* value = std::getenv(name.c_str())) {
      expanded.text += value;
    } else {
      expanded.text += text.substr(begin, end + 1 - begin);
      if (expanded.unset.empty()) expanded.unset = name;
    }
    text.remove_prefix(end + 1);
  }
}

}  // namespace stillwell::config
