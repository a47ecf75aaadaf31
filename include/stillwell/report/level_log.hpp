#pragma once
// The log of levels: rows of report/level_rows in a file a month, levels-2026-03.csv, of which the old ones
// are deleted. A thread of its own waits for the disk. What is not written when the power fails is a few
// minutes at most; a card lives the longer for it.

#include "stillwell/config/configuration.hpp"
#include "stillwell/site/solve.hpp"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>

namespace stillwell::report {

struct LevelLogOptions {
  std::filesystem::path directory;  ///< is there
  config::LevelLogging logging;
  /// The time while it can be trusted: a clock that is years ahead would delete everything that is kept, and
  /// one that goes back would put rows out of their order.
  std::function<std::optional<Stamp>()> trusted_wall;
  Duration hold_back = std::chrono::minutes{10};  ///< rows are written together this often
};

class LevelLog {
 public:
  LevelLog(const Model& model, const LevelLogOptions& options);
  ~LevelLog();  ///< writes what is held back; a disk that hangs is waited for a few seconds at most
  LevelLog(const LevelLog&) = delete;
  LevelLog& operator=(const LevelLog&) = delete;

  /// Of every scan; takes a row when one is due and later than the one before. Never waits.
  void show(const View& view, Instant now);

 private:
  class Impl;
  std::shared_ptr<Impl> impl_;  ///< shared with the thread, which a hanging disk may keep for longer
};

/// Appends whole rows below the header, in a new file when the one of that name has another header: the part
/// after it counts up, levels-2026-03.csv, levels-2026-03-2.csv. A row that a power cut left torn is taken
/// off first.
std::optional<Failure> append_levels(const std::filesystem::path& directory, const std::string& month,
                                     const std::string& header, const std::string& rows);
/// Deletes the files of the months that ended before this day.
void forget_levels(const std::filesystem::path& directory, std::chrono::sys_days before);

}  // namespace stillwell::report
