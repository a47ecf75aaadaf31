#include "stillwell/quantity/time.hpp"

#include <array>
#include <charconv>
#include <cstdio>

namespace stillwell {

std::string to_text(Stamp stamp) {
  const auto day = std::chrono::floor<std::chrono::days>(stamp);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss time{stamp - day};
  std::array<char, 48> text{};
  const int length = std::snprintf(
      text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ", static_cast<int>(date.year()),
      static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
      static_cast<int>(time.hours().count()), static_cast<int>(time.minutes().count()),
      static_cast<int>(time.seconds().count()), static_cast<int>(time.subseconds().count()));
  return std::string(text.data(), static_cast<std::size_t>(length));
}

std::optional<Stamp> parse_stamp(std::string_view text) {
  constexpr std::string_view kForm = "0000-00-00T00:00:00.000Z";
  if (text.size() != kForm.size()) return {};
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool digit = text[i] >= '0' && text[i] <= '9';
    if (kForm[i] == '0' ? !digit : text[i] != kForm[i]) return {};
  }
  const auto number = [text](std::size_t from, std::size_t count) {
    int value = 0;
    std::from_chars(text.data() + from, text.data() + from + count, value);
    return value;
  };
  using namespace std::chrono;
  const year_month_day date{year{number(0, 4)}, month{static_cast<unsigned>(number(5, 2))},
                            day{static_cast<unsigned>(number(8, 2))}};
  const bool of_day = number(11, 2) < 24 && number(14, 2) < 60 && number(17, 2) < 60;
  if (!date.ok() || !of_day) return {};
  return Stamp{sys_days{date} + hours{number(11, 2)} + minutes{number(14, 2)} + seconds{number(17, 2)} +
               milliseconds{number(20, 3)}};
}

}  // namespace stillwell
