#pragma once
// Everything that is told: the journal, the broker, the owner's program, the local socket. Nothing here is
// ever waited for by the scan: tell() hands over to bounded queues that other threads empty.

#include "stillwell/config/configuration.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/report/scan_health.hpp"
#include "stillwell/site/solve.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace stillwell::report {

struct ReportOptions {
  std::filesystem::path state_directory;  ///< journal.jsonl lives here
  std::filesystem::path socket;           ///< the local socket; empty: none
  std::string version{};                  ///< of the program, as status and broker show it
  std::uint64_t seq_after = 0;  ///< events are numbered from above this, or above the journal's newest
  std::function<std::optional<Stamp>()> trusted_wall{};  ///< the time while it can be trusted; none: never
};

class Report {
 public:
  /// Carries a command from the socket or the broker into the next scan and its answer back; called on
  /// threads of theirs and may wait for a scan.
  using Ask = std::function<Answer(Command)>;

  /// Throws std::runtime_error with a sentence for the user when the state directory or socket cannot be
  /// used.
  Report(const config::Configuration& configuration, const ReportOptions& options, Ask ask);
  ~Report();  ///< publishes `disconnected`, writes what is queued; bounded
  Report(const Report&) = delete;
  Report& operator=(const Report&) = delete;

  void tell(const Outcome& outcome, Stamp wall, const ScanHealth& health = {});

  /// Something about the daemon itself; likewise never waits.
  void tell(Event event, Stamp wall);

  [[nodiscard]] bool broker_connected() const;
  /// The highest number given to an event; to be kept with the state, for a journal that gets lost.
  [[nodiscard]] std::uint64_t newest_seq() const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::report
