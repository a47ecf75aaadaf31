#pragma once
// The gauges, switches and meters of one Modbus line: reads whichever is due and hangs the result on the
// board.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/backoff.hpp"
#include "stillwell/field/board.hpp"
#include "stillwell/field/exchange.hpp"
#include "stillwell/field/gauge_reading.hpp"
#include "stillwell/field/schedule.hpp"

#include <optional>
#include <variant>
#include <vector>

namespace stillwell::field {

class ModbusPolls {
 public:
  ModbusPolls(const config::Wiring& wiring, LineIndex line, Exchange& exchange, Board& board, Instant start);

  /// Serves one poll. False when none is due, or when the line must keep silent.
  bool serve(Instant now);
  [[nodiscard]] bool is_due(Instant now) const { return schedule_.next(now).has_value(); }
  [[nodiscard]] std::optional<Instant> wake() const;

  /// The line is gone: every reading has failed.
  void fail_all(Instant now);
  /// It came back.
  void restart(Instant now) { schedule_.restart(now); }

 private:
  struct Companion {
    VariedSpan varied;
    Backoff wait;  ///< one that never answers must not cost the line a timeout each time
    Instant at{};
  };
  struct GaugePoll {
    GaugeIndex gauge;
    config::ModbusGauge wired;
    Duration every{};
    std::vector<VariedSpan> needed;
    std::vector<Companion> companions;
  };
  struct SwitchPoll {
    SwitchIndex input;
    VariedSpan bit;
  };
  struct MeterPoll {
    MeterIndex meter;
    config::MeterWiring wired;
    VariedSpan number;
  };
  struct Poll {
    int station;
    std::variant<GaugePoll, SwitchPoll, MeterPoll> of;
  };

  static void plan(GaugePoll& poll, const std::vector<config::GaugeRead>& reads);
  static bool plan_apart(GaugePoll& poll);
  ReplyStatus read(int station, GaugePoll& poll);
  Reply read_companion(int station, Companion& companion);
  ReplyStatus read(int station, SwitchPoll& poll);
  ReplyStatus read(int station, MeterPoll& poll);
  void fail(const Poll& poll, Reason reason, Instant at);
  void missed(Schedule::Job job, Reason reason, Instant at);

  Exchange& exchange_;
  Board& board_;
  Schedule schedule_;
  std::vector<Poll> polls_;  ///< by Schedule::Job
};

}  // namespace stillwell::field
