#pragma once
// A recording in place of the wires. What people and pumps did then is in the levels already, so the contacts
// change nothing: they follow their orders, and so do feedback and flow switches that the recording does not
// have. Of other switches that it does not have, none is on.

#include "stillwell/rehearsal/record.hpp"
#include "stillwell/rehearsal/stand_in.hpp"

#include <deque>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::rehearsal {

/// What is between two rows lies on the line between them. Where they are farther apart than three times what
/// was usual lately, the recorder was off: nothing answers then.
class RecordStandIn final : public StandIn {
 public:
  /// Reads the first rows. The model outlives it. `every`: how often each gauge is read.
  RecordStandIn(Record record, const Model& model, std::vector<Duration> every);

  bool advance(Instant now) override;
  [[nodiscard]] const Readings& latest() const override { return readings_; }
  void drive(const std::vector<Order>& contacts) override;

  /// The wall clock at the first row, where the recording has one.
  [[nodiscard]] std::optional<Stamp> begins() const { return begins_; }
  /// Why it ended before its end; empty while it did not.
  [[nodiscard]] const std::string& failure() const { return failure_; }
  /// Gauges and meters that have no column and so never answer.
  [[nodiscard]] std::vector<std::string> silent() const;

 private:
  void read_next();
  [[nodiscard]] std::optional<double> value_of(std::size_t column, Duration at) const;
  [[nodiscard]] bool is_on(SwitchIndex input) const;
  void show_gauges(Duration at, Instant now);
  void show_the_rest(Duration at, Instant now);

  Record record_;
  const Model& model_;
  std::vector<Duration> every_;
  std::vector<std::optional<std::size_t>> gauge_columns_;  ///< of each gauge; its own, or that of its tank
  std::vector<std::optional<Mounting>> through_tank_;  ///< then the level becomes what the gauge would say
  std::vector<std::optional<std::size_t>> switch_columns_;
  std::vector<std::optional<std::size_t>> meter_columns_;
  std::vector<Instant> due_;
  std::vector<Order> ordered_;
  Readings readings_;
  std::optional<Instant> begin_;
  std::optional<Stamp> begins_;
  std::optional<Row> current_;
  std::optional<Row> next_;
  std::deque<Duration> gaps_;  ///< between the rows read last
  Duration usual_{};
  std::string failure_;
};

}  // namespace stillwell::rehearsal
