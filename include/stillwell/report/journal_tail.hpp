#pragma once
// Reads the journal behind its writer's back: the line that follows a number, however the files were rotated
// meanwhile. A line that is not ended yet, or was torn, is no line.

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace stillwell::report {

struct Dispatch {
  std::uint64_t seq = 0;
  std::string line;  ///< as it stands in the journal, without its end
};

class JournalTail {
 public:
  /// `directory`: of the journal; empty: there is none, and nothing follows.
  explicit JournalTail(std::filesystem::path directory) : directory_{std::move(directory)} {}
  ~JournalTail();
  JournalTail(const JournalTail&) = delete;
  JournalTail& operator=(const JournalTail&) = delete;

  /// The oldest line with a number above this one; empty when no file has any.
  std::optional<Dispatch> after(std::uint64_t seq);
  /// The files begin above the number that was asked for: what stood between was rotated away. Otherwise
  /// numbers that are missing were never written, which the journal tells by itself.
  [[nodiscard]] bool is_cut() const { return is_cut_; }

 private:
  bool open_that_holds(std::uint64_t after);
  std::optional<std::string> line();
  void close();

  std::filesystem::path directory_;
  int fd_ = -1;
  std::string buffer_;
  std::size_t read_ = 0;  ///< of the buffer
  bool is_cut_ = false;
};

}  // namespace stillwell::report
