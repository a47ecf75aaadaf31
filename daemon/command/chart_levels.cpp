#include "stillwell/command/chart_levels.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

namespace stillwell::command {
namespace {

constexpr std::size_t kMost = 100'000;
constexpr std::size_t kLongestLine = 200;
constexpr Metres kRounding{1e-9};  // of a full line that is a difference of two distances
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";  // spreadsheets put it before the first line

/// To a nanometre, so that a decimal step gives decimal levels: 29 × 0.01 is 0.29 and not
/// 0.29000000000000004.
Metres rounded(double metres) {
  return Metres{std::round(metres * 1e9) / 1e9};
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r";
  const auto first = text.find_first_not_of(kBlank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

std::string_view first_cell(std::string_view line) {
  return trimmed(line.substr(0, line.find(',')));
}

Result<Metres> bare_level(std::string_view cell) {
  const auto metres = parse_number(cell);
  if (!metres) return Failure{metres.error()};
  return Metres{*metres};
}

Failure at(std::size_t line, const std::string& what) {
  return Failure{"line " + std::to_string(line) + ": " + what};
}

Failure at_first_line(std::size_t line, const std::string& what) {
  return at(line, what + ", or one of the headers level_m and level above the levels");
}

/// Reads line by line; which kind of levels they are the first one says.
class Reader {
 public:
  explicit Reader(Metres full) : full_{full} {}

  std::optional<Failure> take(std::string_view line, std::size_t number) {
    if (line.empty() || line.starts_with('#')) return {};
    if (line.size() > kLongestLine) return at(number, "longer than 200 characters; expected a level");
    const std::string_view cell = first_cell(line);
    const bool is_first = !std::exchange(begun_, true);
    if (is_first && cell == "level") return {};
    if (is_first && cell == "level_m") {
      parse_ = bare_level;
      return {};
    }
    const auto level = parse_(cell);
    if (!level) return is_first ? at_first_line(number, level.error()) : at(number, level.error());
    if (!(*level >= Metres{0.0} && *level <= full_ + kRounding)) {
      return at(number, "'" + std::string(cell) + "' is outside the tank; expected 0 m to " +
                            shortest(rounded(full_.value()).value()) + " m");
    }
    if (levels_.size() == kMost) return at(number, "more than 100000 levels");
    levels_.push_back(*level);
    return {};
  }

  std::vector<Metres> levels() && { return std::move(levels_); }

 private:
  Metres full_;
  bool begun_ = false;
  Result<Metres> (*parse_)(std::string_view) = parse_length;
  std::vector<Metres> levels_;
};

}  // namespace

Result<std::vector<Metres>> levels_by_step(Metres step, Metres full) {
  if (!(step > Metres{0.0})) return Failure{"the step must be more than 0 m"};
  const double steps = full / step;
  if (!(steps < static_cast<double>(kMost))) {
    return Failure{"the step is too small for a tank of " + to_text(full) + ": that would be " +
                   fixed(steps, 0) + " lines; expected at most 100000"};
  }
  std::vector<Metres> levels;
  for (std::size_t i = 0; static_cast<double>(i) < steps; ++i) {
    const Metres level = rounded(static_cast<double>(i) * step.value());
    if (level < full - kRounding) levels.push_back(level);
  }
  levels.push_back(full);
  return levels;
}

Result<std::vector<Metres>> levels_of(std::string_view text, Metres full) {
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  Reader reader{full};
  for (std::size_t number = 1; !text.empty(); ++number) {
    const auto end = std::min(text.find('\n'), text.size());
    if (auto wrong = reader.take(trimmed(text.substr(0, end)), number)) return *std::move(wrong);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  auto levels = std::move(reader).levels();
  if (levels.empty()) return Failure{"holds no level; expected one a line, such as 25 cm"};
  return levels;
}

}  // namespace stillwell::command
