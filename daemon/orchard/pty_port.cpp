#include "stillwell/orchard/pty_port.hpp"

#include <array>
#include <cerrno>
#include <chrono>
#include <stdexcept>
#include <system_error>
#include <thread>

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

namespace stillwell::orchard {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostAtOnce = 256;
/// What a serial port keeps for a reader who does not come: more than one longest frame, less than a backlog
/// of stale readings.
constexpr int kMostUnread = 512;

[[noreturn]] void refuse(const fs::path& name, const std::string& why) {
  throw std::runtime_error{name.string() + ": " + why};
}

std::string last_error() {
  return std::generic_category().message(errno);
}

}  // namespace

void PtyPort::plug() {
  if (plugged()) return;
  std::array<char, 128> device{};
  termios raw{};
  cfmakeraw(&raw);
  if (openpty(&master_, &slave_, device.data(), &raw, nullptr) != 0) {
    master_ = slave_ = -1;
    refuse(name_, "no pseudo-terminal could be opened: " + last_error());
  }
  device_ = device.data();
  for (const int fd : {master_, slave_})
    fcntl(fd, F_SETFD, FD_CLOEXEC);
  fcntl(master_, F_SETFL, O_NONBLOCK);
  try {
    link();
  } catch (...) {
    unplug();
    throw;
  }
}

void PtyPort::link() {
  std::error_code error;
  const fs::file_status there = fs::symlink_status(name_, error);
  if (fs::exists(there)) {
    if (!fs::is_symlink(there)) refuse(name_, "is there and is no symbolic link; it is left alone");
    // A link to anything but a pseudo-terminal may be a real port's.
    const fs::path target = fs::read_symlink(name_, error);
    if (!target.string().starts_with("/dev/pts/")) {
      refuse(name_, "links to " + target.string() + ", which is not ours; it is left alone");
    }
  }
  // Renamed into place, so that the name never points at nothing.
  const fs::path fresh = name_.string() + ".new";
  fs::remove(fresh, error);
  fs::create_symlink(device_, fresh, error);
  if (error) refuse(name_, "the link could not be made: " + error.message() + " (does its directory exist?)");
  fs::rename(fresh, name_, error);
  if (error) refuse(name_, "the link could not be put in place: " + error.message());
}

void PtyPort::unplug() {
  if (!plugged()) return;
  std::error_code error;
  if (fs::read_symlink(name_, error) == device_) fs::remove(name_, error);
  close(slave_);
  close(master_);
  master_ = slave_ = -1;
}

Bytes PtyPort::read(Duration limit) {
  pollfd wait{.fd = master_, .events = POLLIN, .revents = 0};
  const auto milliseconds = std::chrono::ceil<std::chrono::milliseconds>(limit).count();
  if (poll(&wait, 1, static_cast<int>(milliseconds)) <= 0) return {};
  Bytes bytes(kMostAtOnce);
  const ssize_t count = ::read(master_, bytes.data(), bytes.size());
  bytes.resize(count > 0 ? static_cast<std::size_t>(count) : 0);
  return bytes;
}

void PtyPort::write(ByteView bytes, Duration character) {
  int unread = 0;
  if (ioctl(slave_, FIONREAD, &unread) == 0 && unread > kMostUnread) tcflush(slave_, TCIFLUSH);
  auto due = std::chrono::steady_clock::now();
  for (const std::uint8_t byte : bytes) {
    due += character;
    std::this_thread::sleep_until(due);
    if (::write(master_, &byte, 1) != 1) return;  // nobody empties the port: the rest is lost
  }
}

void PtyPort::forget_exclusive_use() const {
  if (plugged()) ioctl(slave_, TIOCNXCL);
}

}  // namespace stillwell::orchard
