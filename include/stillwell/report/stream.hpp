#pragma once
// Lines over a local stream socket: every read and write has an end in time and in size.

#include "stillwell/quantity/result.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

struct sockaddr_un;  // of <sys/un.h>, which stays in the sources

namespace stillwell::report {

/// A file descriptor that is closed.
class Descriptor {
 public:
  Descriptor() = default;
  explicit Descriptor(int fd) : fd_{fd} {}
  Descriptor(Descriptor&& other) noexcept : fd_{std::exchange(other.fd_, -1)} {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    std::swap(fd_, other.fd_);
    return *this;
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor();

  [[nodiscard]] int get() const { return fd_; }
  [[nodiscard]] bool is_open() const { return fd_ >= 0; }

 private:
  int fd_ = -1;
};

using Deadline = std::chrono::steady_clock::time_point;

/// A path as a socket address; the failure says that it is too long for one (unix(7): 107 bytes).
Result<sockaddr_un> address_of(const std::filesystem::path& path);
/// Connects to a listening socket, or leaves errno.
std::optional<Descriptor> connect_to(const sockaddr_un& address);

enum class LineEnd : std::uint8_t { complete, closed, too_long, too_late };

/// Reads lines from a non-blocking socket.
class LineReader {
 public:
  LineReader(int fd, std::size_t longest) : fd_{fd}, longest_{longest} {}
  /// The next line without its end goes to `line`.
  LineEnd next(std::string& line, Deadline until);

 private:
  int fd_;
  std::size_t longest_;
  std::string pending_;
};

/// Writes everything, or false when the other side left or did not read in time.
bool write_all(int fd, std::string_view text, Deadline until);

}  // namespace stillwell::report
