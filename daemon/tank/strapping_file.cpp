#include "stillwell/tank/strapping_file.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <optional>
#include <string>

namespace stillwell {
namespace {

constexpr std::size_t kLongestLine = 200;                    // so that a message never repeats a whole file
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";  // spreadsheets put it before the first line

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r";
  const auto first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

/// Takes the text up to the separator off the front.
std::string_view take(std::string_view& text, char separator) {
  const auto end = std::min(text.find(separator), text.size());
  const std::string_view taken = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return trimmed(taken);
}

struct Cells {
  std::string_view level;
  std::string_view volume;
};

std::optional<Cells> cells_of(std::string_view line) {
  if (line.find(',') == std::string_view::npos) return std::nullopt;
  const std::string_view level = take(line, ',');
  return Cells{.level = level, .volume = take(line, ',')};
}

const std::string kWantedHeader = "expected level_m,volume_l or level,volume";

using PointOf = Result<StrapPoint> (*)(const Cells&);

Result<StrapPoint> bare_point(const Cells& cells) {
  const auto level = parse_number(cells.level);
  if (!level) return Failure{level.error()};
  const auto volume = parse_number(cells.volume);
  if (!volume) return Failure{volume.error()};
  return StrapPoint{.depth = Metres{*level}, .volume = Litres{*volume}};
}

Result<StrapPoint> point_with_units(const Cells& cells) {
  const auto level = parse_length(cells.level);
  if (!level) return Failure{level.error()};
  const auto volume = parse_volume(cells.volume);
  if (!volume) return Failure{volume.error()};
  return StrapPoint{.depth = *level, .volume = *volume};
}

/// How the lines below a header are read; null when it is none.
PointOf reader_for(std::string_view header) {
  const auto names = cells_of(header);
  if (!names) return nullptr;
  if (names->level == "level_m" && names->volume == "volume_l") return bare_point;
  if (names->level == "level" && names->volume == "volume") return point_with_units;
  return nullptr;
}

Failure at(std::size_t line, const std::string& what) {
  return Failure{"line " + std::to_string(line) + ": " + what};
}

/// The next line that says anything, empty at the end; its number is counted on in `number`.
std::string_view next_line(std::string_view& text, std::size_t& number) {
  while (!text.empty()) {
    ++number;
    const std::string_view line = take(text, '\n');
    if (!line.empty() && !line.starts_with('#')) return line;
  }
  return {};
}

Result<StrapPoint> point_of(std::string_view line, PointOf read) {
  const auto cells = cells_of(line);
  if (!cells)
    return Failure{"'" + std::string(line) + "' is no pair; expected a level, a comma and a volume"};
  return read(*cells);
}

}  // namespace

Result<std::vector<StrapPoint>> parse_strapping(std::string_view text) {
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  std::size_t number = 0;
  PointOf read = nullptr;
  std::vector<StrapPoint> points;
  for (std::string_view line = next_line(text, number); !line.empty(); line = next_line(text, number)) {
    if (line.size() > kLongestLine)
      return at(number, "longer than 200 characters; expected a level and a volume");
    if (read == nullptr) {
      read = reader_for(line);
      if (read == nullptr) return at(number, "'" + std::string(line) + "' is no header; " + kWantedHeader);
      continue;
    }
    if (points.size() == kMostStrapPoints) return at(number, "more than 10000 points; thin the table out");
    const auto point = point_of(line, read);
    if (!point) return at(number, point.error());
    points.push_back(*point);
  }
  if (read == nullptr) return at(1, "the table is empty; " + kWantedHeader);
  return points;
}

}  // namespace stillwell
