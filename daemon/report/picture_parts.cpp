#include "stillwell/report/picture_parts.hpp"

namespace stillwell::report {

std::string clock_text(Stamp stamp, std::chrono::minutes utc_offset) {
  const auto local = std::chrono::floor<std::chrono::seconds>(stamp) + utc_offset;
  const auto of_day = std::chrono::hh_mm_ss{local - std::chrono::floor<std::chrono::days>(local)};
  std::string text;
  for (const auto part : {of_day.hours().count(), static_cast<std::int64_t>(of_day.minutes().count()),
                          static_cast<std::int64_t>(of_day.seconds().count())}) {
    if (!text.empty()) text += ':';
    text += static_cast<char>('0' + part / 10);
    text += static_cast<char>('0' + part % 10);
  }
  return text;
}

std::string more_text(std::size_t count) {
  return "and " + std::to_string(count) + " more: see --json";
}

}  // namespace stillwell::report
