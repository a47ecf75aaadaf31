#include "stillwell/config/decimal_comma.hpp"

#include "stillwell/config/kinds.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

constexpr std::string_view kDigits = "0123456789";

bool is_unit(std::string_view word) {
  for (int i = 0; i <= static_cast<int>(Kind::window); ++i) {
    const Words units = row_of(static_cast<Kind>(i)).units;
    if (std::find(units.begin(), units.end(), word) != units.end()) return true;
  }
  return false;
}

/// The parts of "-2,85 m": what stands before the comma, the digits behind it, and the rest.
struct Parted {
  std::string_view whole;
  std::string_view decimals;
  std::string_view rest;  ///< with its blank
};

std::optional<Parted> part(std::string_view text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string_view::npos) return {};
  const std::size_t end = std::min(text.find_first_not_of(kDigits, comma + 1), text.size());
  const Parted parted{text.substr(0, comma), text.substr(comma + 1, end - comma - 1), text.substr(end)};
  const std::string_view digits = parted.whole.substr(parted.whole.starts_with('-') ? 1 : 0);
  if (digits.empty() || digits.find_first_not_of(kDigits) != std::string_view::npos) return {};
  if (parted.decimals.empty()) return {};
  const std::string_view unit = parted.rest.substr(parted.rest.starts_with(' ') ? 1 : 0);
  if (!parted.rest.empty() && !is_unit(unit)) return {};
  return parted;
}

}  // namespace

std::optional<std::string> with_point(std::string_view text) {
  const auto parted = part(text);
  if (!parted) return {};
  return std::string(parted->whole) + "." + std::string(parted->decimals) + std::string(parted->rest);
}

std::string about_comma(std::string_view text) {
  const std::string said = "'" + std::string(text) + "' has a comma in its number; write ";
  const auto parted = part(text);
  if (!parted) return said + "a point";
  // Three digits behind a comma may as well be thousands.
  const bool thousands = parted->decimals.size() == 3;
  return said + with_point(text).value_or("") +
         (thousands ? ", or " + std::string(parted->whole) + std::string(parted->decimals) +
                          std::string(parted->rest) + " if thousands are meant"
                    : "");
}

}  // namespace stillwell::config
