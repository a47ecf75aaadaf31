#pragma once
// Events on their way to the broker, in order and once acknowledged never again but for the last few: those
// of now in memory, those before them in the journal, and how far the broker has acknowledged them in a file
// of its own. So neither a broker that is away for long nor the end of the daemon loses any that the journal
// still has. What it has no more is counted.

#include "stillwell/report/journal_tail.hpp"
#include "stillwell/report/number_file.hpp"

#include <chrono>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

namespace stillwell::report {

/// Where the journal is, and its newest number at the start. Without a directory nothing outlives the memory.
struct EventSource {
  std::filesystem::path directory{};
  std::uint64_t newest = 0;
};

class EventQueue {
 public:
  /// `most`: so many are held in memory. At the very first start nothing is sent that was told before it.
  EventQueue(const EventSource& source, std::size_t most);
  ~EventQueue();
  EventQueue(const EventQueue&) = delete;
  EventQueue& operator=(const EventQueue&) = delete;

  // By whoever tells events; never waits for a disk.
  void put(Dispatch letter);

  // By the one who sends them. It may read the journal.
  [[nodiscard]] bool is_empty();
  /// The next one, again and again until it is told to have arrived.
  std::optional<Dispatch> next();
  void arrived(std::uint64_t seq);
  /// How many were found to be lost since the last call.
  std::uint64_t take_lost() { return std::exchange(lost_, 0); }
  /// Writes down how far it got.
  void save();

 private:
  std::optional<Dispatch> of_memory();

  const std::size_t most_;
  JournalTail tail_;
  NumberFile mark_;
  std::optional<std::uint64_t> sent_;  ///< empty: nothing was sent yet, and any number may be the first
  std::optional<std::uint64_t> saved_;
  std::optional<Dispatch> chosen_;
  std::uint64_t lost_ = 0;
  bool behind_ = false;  ///< the journal may have some that the memory has not
  std::chrono::steady_clock::time_point saved_at_{};

  std::mutex mutex_;  // guards what follows
  std::deque<Dispatch> waiting_;
};

}  // namespace stillwell::report
