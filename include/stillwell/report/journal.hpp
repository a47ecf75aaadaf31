#pragma once
// The journal: one JSON object a line in journal.jsonl, rotated by size. Used by one thread.

#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/report/number_file.hpp"
#include "stillwell/site/event.hpp"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

namespace stillwell::report {

/// An event with its place in the story.
struct Entry {
  Stamp at{};
  std::uint64_t seq = 0;
  Event event;
};

/// The line without its end. Values that are not numbers are left out; invalid UTF-8 is replaced.
std::string to_line(const Entry& entry);

/// The number of a line; 0 of what is none.
std::uint64_t seq_in(std::string_view line);
/// "journal.jsonl", or for older ones "journal.jsonl.1", which is the newest of them.
std::filesystem::path journal_file(const std::filesystem::path& directory, int age);

struct JournalOptions {
  std::filesystem::path directory;
  std::uintmax_t rotate_at = 1'000'000;  ///< bytes; a line is never split
  int keep = 2;                          ///< journal.jsonl.1 is the newest of the old ones
};

class Journal {
 public:
  /// Reads the newest number and opens the file. Throws std::runtime_error when the directory is none or may
  /// not be used; a disk that is full or read-only just now is no reason to refuse.
  explicit Journal(JournalOptions options);
  ~Journal();
  Journal(const Journal&) = delete;
  Journal& operator=(const Journal&) = delete;

  /// The highest number ever given out, as far as the files know; 0 in a new journal.
  [[nodiscard]] std::uint64_t newest_seq() const { return newest_seq_; }
  /// The last line had been cut short, as by a power cut. It is ended before the next one is written.
  [[nodiscard]] bool was_torn() const { return was_torn_; }
  /// The disk was refusing when the journal was last in use: numbers may have been seen by the broker that no
  /// file knows, so the ones up to newest_seq() are not used again.
  [[nodiscard]] bool has_gap() const { return has_gap_; }

  /// Writes the line whole or not at all. The failure says what the disk said.
  std::optional<Failure> append(const Entry& entry);
  /// Has the disk keep what was appended.
  void sync() const;

 private:
  std::error_code open();
  std::error_code rotate();
  std::error_code write_whole(const std::string& text);
  void set_floor(std::uint64_t seq);

  JournalOptions options_;
  int fd_ = -1;
  NumberFile floor_file_;
  std::uint64_t floor_ = 0;  ///< set aside while the disk refuses; 0 while all is written
  std::uintmax_t size_ = 0;
  std::uint64_t newest_seq_ = 0;
  bool torn_ = false;
  bool was_torn_ = false;
  bool has_gap_ = false;
};

}  // namespace stillwell::report
