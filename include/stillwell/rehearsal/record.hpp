#pragma once
// A recording of what the instruments said, as comma-separated values with one row an instant:
//
//   at            when: 2026-03-01T04:12:07.250Z (UTC; the fraction may be left out), or seconds since the
//   beginning gauges.ID     what a gauge said, m: a distance, or a depth tanks.ID      or the level of its
//   tank, m: stands for each gauge of the tank that has no column of its own switches.ID   1 closed, 0 open,
//   as the module says it meters.ID     in W or A, as the meter measures
//
// The header may come again between the rows, so that several files can be strung together. An empty cell: it
// did not answer. Columns of pumps. and alarms., which a rehearsal writes itself, are passed over.

#include "stillwell/quantity/result.hpp"
#include "stillwell/reading/sample.hpp"
#include "stillwell/site/model.hpp"

#include <istream>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace stillwell::rehearsal {

/// What a column is.
struct PassedOver {};
using Column = std::variant<PassedOver, GaugeIndex, TankIndex, SwitchIndex, MeterIndex>;

struct Row {
  std::optional<Stamp> wall;                 ///< absent where the record counts seconds
  Duration at{};                             ///< since the first row
  std::vector<std::optional<double>> cells;  ///< of the columns behind `at`
};

/// Reads it row by row; a year of seconds is larger than a memory.
class Record {
 public:
  /// Reads the header. The stream outlives it.
  static Result<Record> open(std::istream& stream, const Model& model);

  [[nodiscard]] const std::vector<Column>& columns() const { return columns_; }
  /// The next row, nothing at the end, or what is wrong, with the line.
  Result<std::optional<Row>> next();

 private:
  explicit Record(std::istream& stream) : stream_{&stream} {}
  [[nodiscard]] Failure wrong(const std::string& text) const;
  std::optional<Failure> read_time(std::string_view text, Row& row);

  std::istream* stream_;
  std::vector<Column> columns_;
  std::string header_;
  std::string line_;
  std::size_t number_ = 1;  ///< of the line that was read last
  std::optional<Stamp> first_wall_;
  std::optional<double> first_seconds_;
  std::optional<Duration> before_;
};

}  // namespace stillwell::rehearsal
