#include "stillwell/rehearsal/record.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::rehearsal {
namespace {

/// A line that is longer is no record, and must not fill the memory.
constexpr std::size_t kLongestLine = 64'000;
/// A century: beyond it a number of seconds is something else.
constexpr double kLongest = 100.0 * 366.0 * 86400.0;

std::string_view without_return(std::string_view line) {
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

/// The text before the next comma, which is taken off.
std::string_view take_field(std::string_view& rest) {
  const std::size_t comma = rest.find(',');
  const std::string_view field = rest.substr(0, comma);
  rest = comma == std::string_view::npos ? std::string_view{} : rest.substr(comma + 1);
  return field;
}

template <class List>
std::optional<std::size_t> place_in(const List& list, std::string_view id) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const auto& one) { return one.id == id; });
  if (found == list.end()) return std::nullopt;
  return static_cast<std::size_t>(found - list.begin());
}

Result<Column> column_of(std::string_view name, const Model& model) {
  const std::size_t dot = name.find('.');
  const std::string_view kind = name.substr(0, dot);
  const std::string_view id = dot == std::string_view::npos ? std::string_view{} : name.substr(dot + 1);
  const auto as = [&]<class Index>(std::optional<std::size_t> at, Index) -> Result<Column> {
    if (at) return Column{Index{*at}};
    return Failure{"column '" + std::string{name} + "': the configuration has no such name under " +
                   std::string{kind}};
  };
  if (kind == "gauges") return as(place_in(model.gauges, id), GaugeIndex{});
  if (kind == "tanks") return as(place_in(model.tanks, id), TankIndex{});
  if (kind == "switches") return as(place_in(model.switches, id), SwitchIndex{});
  if (kind == "meters") return as(place_in(model.meters, id), MeterIndex{});
  if (kind == "pumps" || kind == "alarms") return Column{PassedOver{}};
  return Failure{"column '" + std::string{name} +
                 "': expected gauges.ID, tanks.ID, switches.ID or meters.ID"};
}

}  // namespace

Failure Record::wrong(const std::string& text) const {
  return Failure{"line " + std::to_string(number_) + ": " + text};
}

Result<Record> Record::open(std::istream& stream, const Model& model) {
  Record record{stream};
  if (!std::getline(stream, record.line_) || record.line_.size() > kLongestLine)
    return Failure{"no header: expected at, and then a column of each instrument"};
  record.header_ = without_return(record.line_);
  std::string_view rest = record.header_;
  if (take_field(rest) != "at") return record.wrong("expected a header whose first column is 'at'");
  while (!rest.empty()) {
    const auto column = column_of(take_field(rest), model);
    if (!column) return record.wrong(column.error());
    record.columns_.push_back(*column);
  }
  return record;
}

std::optional<Failure> Record::read_time(std::string_view text, Row& row) {
  if (text.find('T') == std::string_view::npos) {
    const auto seconds = parse_number(text);
    if (!seconds || first_wall_ || std::abs(*seconds) > kLongest)
      return wrong("'" + std::string{text} + "': expected a time as in the rows before, or as " +
                   "2026-03-01T04:12:07Z");
    if (!first_seconds_) first_seconds_ = *seconds;
    row.at = std::chrono::round<Duration>(std::chrono::duration<double>{*seconds - *first_seconds_});
  } else {
    std::string whole{text};
    if (whole.ends_with('Z') && whole.find('.') == std::string::npos) whole.insert(whole.size() - 1, ".000");
    row.wall = parse_stamp(whole);
    if (!row.wall || first_seconds_)
      return wrong("'" + std::string{text} + "': expected a time in UTC, as 2026-03-01T04:12:07Z");
    if (!first_wall_) first_wall_ = row.wall;
    row.at = *row.wall - *first_wall_;
  }
  if (before_ && row.at <= *before_) return wrong("'" + std::string{text} + "' is not after the row before");
  before_ = row.at;
  return std::nullopt;
}

Result<std::optional<Row>> Record::next() {
  do {
    if (!std::getline(*stream_, line_)) return std::optional<Row>{};
    ++number_;
  } while (without_return(line_).empty() || without_return(line_) == header_);
  if (line_.size() > kLongestLine) return wrong("longer than any record has");
  std::string_view rest = without_return(line_);
  Row row;
  if (const auto failure = read_time(take_field(rest), row)) return *failure;
  row.cells.resize(columns_.size());
  for (std::size_t at = 0; at < columns_.size(); ++at) {
    const std::string_view field = take_field(rest);
    if (field.empty() || std::holds_alternative<PassedOver>(columns_[at])) continue;
    const auto number = parse_number(field);
    if (!number) return wrong("'" + std::string{field} + "': expected a number, or nothing");
    row.cells[at] = *number;
  }
  if (!rest.empty()) return wrong("more fields than the header has");
  return std::optional{std::move(row)};
}

}  // namespace stillwell::rehearsal
