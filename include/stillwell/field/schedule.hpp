#pragma once
// Which poll of a line is due: a deadline queue. Polls that are late go first in the order of their
// deadlines, so that on an overloaded line everybody waits equally long and nobody for ever. A station that
// does not answer is asked more and more seldom. Pure: time is an argument.

#include "stillwell/quantity/time.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace stillwell::field {

class Schedule {
 public:
  using Job = std::size_t;  ///< in the order of add()
  enum class Miss : std::uint8_t {
    again,    ///< it will be tried again at once: one lost reply is normal on a shared bus
    job,      ///< given up; the station answers other questions
    station,  ///< given up; the station has answered nothing since this was first asked
  };

  /// `probe` is how long an unanswered question keeps the line; `tries` how often one is put before it is
  /// given up.
  Schedule(Duration probe, int tries) : probe_{probe}, tries_{tries} {}

  Job add(int station, Duration period, Instant first);

  /// The job to do now, if one is due.
  [[nodiscard]] std::optional<Job> next(Instant now) const;
  /// When the next one will be due; empty without jobs.
  [[nodiscard]] std::optional<Instant> wake() const;

  void answered(Job job, Instant now);
  Miss missed(Job job, Instant now);

  /// The line came back: everything is due and nothing is held against any station.
  void restart(Instant now);

 private:
  struct Station {
    int number = 0;
    Duration hold{0};  ///< how long it is left alone now; zero while it answers
    Instant held_until{};
    std::optional<Instant> answered_at{};
  };
  struct Entry {
    std::size_t station = 0;
    Duration period{};
    Instant due{};
    int misses = 0;  ///< in a row
    Instant missed_since{};
    Duration hold{0};  ///< a question that is never answered by a station that is well otherwise
  };

  [[nodiscard]] Instant due(const Entry& entry) const;
  [[nodiscard]] Duration longer(Duration hold, Duration period) const;
  std::size_t station_at(int number);

  Duration probe_;
  int tries_;
  std::vector<Station> stations_;
  std::vector<Entry> entries_;
};

}  // namespace stillwell::field
