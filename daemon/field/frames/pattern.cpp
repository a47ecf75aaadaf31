#include "stillwell/field/frames/pattern.hpp"

#include <algorithm>

namespace stillwell::field {
namespace {

constexpr std::string_view kMeta = ".*+?[]{}|^$()\\";

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

bool is_printable(char c) {
  return c >= ' ' && c <= '~';
}

Failure not_understood(std::string_view text, std::string_view what) {
  return {"pattern \"" + std::string{text} + "\": " + std::string{what} +
          "; expected literal characters and one group of digits, (\\d{4}) or (\\d+)"};
}

/// Reads the group at the front of `rest` and removes it. Its digit count, 0 for (\d+); empty: no group.
std::optional<int> take_group(std::string_view& rest) {
  constexpr std::string_view kAny = "(\\d+)";
  constexpr std::string_view kSome = "(\\d{";
  if (rest.starts_with(kAny)) {
    rest.remove_prefix(kAny.size());
    return 0;
  }
  if (!rest.starts_with(kSome) || rest.size() < kSome.size() + 3) return std::nullopt;
  const char count = rest[kSome.size()];
  if (count < '1' || count > '0' + kMostDigits || rest.substr(kSome.size() + 1, 2) != "})")
    return std::nullopt;
  rest.remove_prefix(kSome.size() + 3);
  return count - '0';
}

/// Reads one literal character, escaped or not, and removes it. Empty when it is none.
std::optional<char> take_literal(std::string_view& rest) {
  const bool escaped = rest.size() > 1 && rest[0] == '\\' && kMeta.find(rest[1]) != kMeta.npos;
  const char c = escaped ? rest[1] : rest[0];
  if (!is_printable(c) || (!escaped && kMeta.find(c) != kMeta.npos)) return std::nullopt;
  rest.remove_prefix(escaped ? 2 : 1);
  return c;
}

bool equal(std::span<const std::uint8_t> bytes, std::string_view text) {
  return std::equal(bytes.begin(), bytes.end(), text.begin(), text.end(),
                    [](std::uint8_t b, char c) { return b == static_cast<unsigned char>(c); });
}

}  // namespace

Result<LinePattern> LinePattern::make(std::string_view text) {
  LinePattern pattern;
  std::optional<int> group;
  std::string_view rest = text;
  while (!rest.empty()) {
    if (const auto digits = take_group(rest)) {
      if (group) return not_understood(text, "a second group");
      group = digits;
    } else if (const auto literal = take_literal(rest)) {
      (group ? pattern.after_ : pattern.before_) += *literal;
    } else {
      return not_understood(
          text, "cannot use what stands at character " + std::to_string(text.size() - rest.size() + 1));
    }
  }
  if (!group) return not_understood(text, "no group");
  pattern.digits_ = *group;
  const auto longest = pattern.before_.size() + pattern.after_.size() + static_cast<std::size_t>(kMostDigits);
  if (longest > kLongestLine) return not_understood(text, "longer than a line of 64 bytes");
  return pattern;
}

std::optional<std::uint32_t> LinePattern::match(std::span<const std::uint8_t> line) const {
  const std::size_t around = before_.size() + after_.size();
  if (line.size() <= around) return std::nullopt;
  const std::size_t count = line.size() - around;
  const auto exactly = static_cast<std::size_t>(digits_);
  if (exactly != 0 ? count != exactly : count > static_cast<std::size_t>(kMostDigits)) return std::nullopt;
  if (!equal(line.first(before_.size()), before_) || !equal(line.last(after_.size()), after_))
    return std::nullopt;
  std::uint32_t value = 0;
  for (const std::uint8_t byte : line.subspan(before_.size(), count)) {
    if (byte < '0' || byte > '9') return std::nullopt;
    value = value * 10 + (byte - '0');
  }
  return value;
}

std::optional<std::string> LinePattern::write(std::uint32_t count) const {
  std::string digits = std::to_string(count);
  const auto most = static_cast<std::size_t>(digits_ != 0 ? digits_ : kMostDigits);
  if (digits.size() > most) return std::nullopt;
  if (digits_ != 0) digits.insert(0, most - digits.size(), '0');
  return before_ + digits + after_;
}

bool LinePattern::needs_whole_line() const {
  return before_.empty() || is_digit(before_.front());
}

}  // namespace stillwell::field
