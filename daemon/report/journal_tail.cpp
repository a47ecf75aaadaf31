#include "stillwell/report/journal_tail.hpp"

#include "stillwell/report/journal.hpp"

#include <array>
#include <utility>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

constexpr std::size_t kPiece = 16'384;
constexpr std::size_t kLongestLine = 65'536;  // no event is as long; what is, was never a line of ours

/// Whether the file is still the one that is written to, or the next that follows it may be begun.
bool is_same_file(int fd, const std::filesystem::path& path) {
  struct stat opened {};
  struct stat named {};
  return ::fstat(fd, &opened) == 0 && ::stat(path.c_str(), &named) == 0 && opened.st_ino == named.st_ino &&
         opened.st_dev == named.st_dev;
}

/// What is no file might never end, or never begin.
int open_file(const std::filesystem::path& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  struct stat status {};
  if (fd < 0 || (::fstat(fd, &status) == 0 && S_ISREG(status.st_mode))) return fd;
  ::close(fd);
  return -1;
}

}  // namespace

JournalTail::~JournalTail() {
  close();
}

void JournalTail::close() {
  if (fd_ >= 0) ::close(std::exchange(fd_, -1));
  buffer_.clear();
  read_ = 0;
}

/// The next whole line of the open file; empty at its end, where more may follow.
std::optional<std::string> JournalTail::line() {
  while (true) {
    const auto end = buffer_.find('\n', read_);
    if (end != std::string::npos) {
      std::string found = buffer_.substr(read_, end - read_);
      read_ = end + 1;
      return found;
    }
    buffer_.erase(0, std::exchange(read_, 0));
    if (buffer_.size() > kLongestLine) buffer_.clear();
    std::array<char, kPiece> piece{};
    const ssize_t count = ::read(fd_, piece.data(), piece.size());
    if (count <= 0) return {};
    buffer_.append(piece.data(), static_cast<std::size_t>(count));
  }
}

/// From the oldest file to the one that is written; left open at the line before the first that follows.
bool JournalTail::open_that_holds(std::uint64_t after) {
  is_cut_ = true;
  constexpr int kOldest = 9;  // more than are ever kept
  for (int age = kOldest; age >= 0; --age) {
    close();
    fd_ = open_file(journal_file(directory_, age));
    if (fd_ < 0) continue;
    while (true) {
      const auto found = line();
      if (!found) break;
      const std::uint64_t number = seq_in(*found);
      if (number > 0 && number <= after) is_cut_ = false;
      if (number <= after) continue;
      read_ -= found->size() + 1;  // it stands in the buffer still
      return true;
    }
    if (age == 0) return true;
  }
  return false;
}

std::optional<Dispatch> JournalTail::after(std::uint64_t seq) {
  if (directory_.empty()) return {};
  for (int tries = 0; tries < 2; ++tries) {
    if (fd_ >= 0) is_cut_ = false;
    if (fd_ < 0 && !open_that_holds(seq)) return {};
    while (auto found = line()) {
      const std::uint64_t number = seq_in(*found);
      if (number > seq) return Dispatch{number, std::move(*found)};
    }
    if (is_same_file(fd_, journal_file(directory_, 0))) return {};
    close();  // it was rotated: what follows stands in another file
  }
  return {};
}

}  // namespace stillwell::report
