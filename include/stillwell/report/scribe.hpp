#pragma once
// Numbers events and has a thread of its own write them down, so that nobody who tells something ever waits
// for a disk. What was written is handed on, in order: a number that the broker has seen is in the journal,
// unless the disk refused it.

#include "stillwell/report/journal.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace stillwell::report {

struct ScribeOptions {
  JournalOptions journal;
  std::string site;             ///< what its own events are of
  std::uint64_t seq_after = 0;  ///< numbers go on from the newest of the journal and this
};

class Scribe {
 public:
  /// `pass_on` is called on the scribe's thread after each entry was written (or was refused by the disk).
  /// Throws as Journal does.
  Scribe(const ScribeOptions& options, std::function<void(const Entry&)> pass_on);
  ~Scribe();  ///< stop()
  Scribe(const Scribe&) = delete;
  Scribe& operator=(const Scribe&) = delete;

  /// Starts the thread; what is told before waits for it.
  void start();
  /// Never waits. When the queue is full the event is lost, but counted and said later.
  void tell(Stamp at, Event event);
  /// The last few events, oldest first.
  [[nodiscard]] std::vector<Entry> recent() const;
  [[nodiscard]] std::uint64_t newest_seq() const;
  /// The newest that the journal had at the start.
  [[nodiscard]] std::uint64_t newest_in_journal() const;

  /// Writes what is queued and ends the thread; a disk that hangs is waited for a few seconds at most. What
  /// is told afterwards is lost.
  void stop();

 private:
  class Impl;
  std::shared_ptr<Impl> impl_;  ///< shared with the thread, which a hanging disk may keep for longer
};

}  // namespace stillwell::report
