#include "stillwell/report/stream.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

/// Waits until the descriptor is ready for `events` or the time is over.
bool wait_for(int fd, short events, Deadline until) {
  while (true) {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(until - std::chrono::steady_clock::now());
    if (left.count() <= 0) return false;
    pollfd watched{fd, events, 0};
    constexpr std::chrono::milliseconds kLongest{60'000};
    const int ready = ::poll(&watched, 1, static_cast<int>(std::min(left, kLongest).count()));
    if (ready > 0) return true;
    if (ready < 0 && errno != EINTR) return false;
  }
}

}  // namespace

Descriptor::~Descriptor() {
  if (fd_ >= 0) ::close(fd_);
}

Result<sockaddr_un> address_of(const std::filesystem::path& path) {
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  const std::string text = path.string();
  if (text.empty() || text.size() >= sizeof address.sun_path) {
    return Failure{"the socket's path must have 1 to " + std::to_string(sizeof address.sun_path - 1) +
                   " bytes: " + text};
  }
  std::memcpy(address.sun_path, text.c_str(), text.size() + 1);
  return address;
}

std::optional<Descriptor> connect_to(const sockaddr_un& address) {
  Descriptor fd{::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0)};
  const auto* generic = reinterpret_cast<const sockaddr*>(&address);
  if (!fd.is_open() || ::connect(fd.get(), generic, sizeof address) != 0) return {};
  return fd;
}

LineEnd LineReader::next(std::string& line, Deadline until) {
  while (true) {
    const auto end = pending_.find('\n');
    if (end != std::string::npos && end <= longest_) {
      line = pending_.substr(0, end);
      pending_.erase(0, end + 1);
      return LineEnd::complete;
    }
    if (pending_.size() > longest_) return LineEnd::too_long;
    if (!wait_for(fd_, POLLIN, until)) return LineEnd::too_late;
    std::array<char, 4096> chunk{};
    const auto count = ::recv(fd_, chunk.data(), chunk.size(), 0);
    if (count > 0) pending_.append(chunk.data(), static_cast<std::size_t>(count));
    if (count == 0 || (count < 0 && errno != EAGAIN && errno != EINTR)) return LineEnd::closed;
  }
}

bool write_all(int fd, std::string_view text, Deadline until) {
  while (!text.empty()) {
    if (!wait_for(fd, POLLOUT, until)) return false;
    const auto count = ::send(fd, text.data(), text.size(), MSG_NOSIGNAL);
    if (count < 0 && errno != EAGAIN && errno != EINTR) return false;
    if (count > 0) text.remove_prefix(static_cast<std::size_t>(count));
  }
  return true;
}

}  // namespace stillwell::report
