#include "support/pty_peer.hpp"

#include <array>
#include <cerrno>
#include <stdexcept>
#include <utility>

#include <poll.h>
#include <pty.h>
#include <termios.h>
#include <unistd.h>

namespace support {

PtyPeer::PtyPeer(Script script, std::size_t request_size)
    : request_size_{request_size}, script_{std::move(script)} {
  termios raw{};
  ::cfmakeraw(&raw);
  raw.c_cflag |= CREAD | CS8;
  std::array<char, 64> name{};
  if (::openpty(&master_, &slave_, name.data(), &raw, nullptr) != 0)
    throw std::runtime_error("no pseudo-terminal");
  path_ = name.data();
  thread_ = std::thread{[this] { serve(); }};
}

PtyPeer::~PtyPeer() {
  {
    const std::lock_guard lock{mutex_};
    stop_ = true;
  }
  stopping_.notify_all();
  thread_.join();
  ::close(slave_);
  ::close(master_);
}

void PtyPeer::follow(Script script) {
  const std::lock_guard lock{mutex_};
  script_ = std::move(script);
}

void PtyPeer::send(const Bytes& bytes) {
  if (::write(master_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size()))
    throw std::runtime_error("the pseudo-terminal takes no bytes");
}

std::vector<Bytes> PtyPeer::requests() const {
  const std::lock_guard lock{mutex_};
  return requests_;
}

void PtyPeer::serve() {
  constexpr int kLookMs = 20;  // how soon it notices that it shall stop
  Bytes held;
  for (;;) {
    {
      const std::lock_guard lock{mutex_};
      if (stop_) return;
    }
    pollfd wanted{.fd = master_, .events = POLLIN, .revents = 0};
    if (::poll(&wanted, 1, kLookMs) <= 0) continue;
    std::array<std::uint8_t, 256> room{};
    const auto count = ::read(master_, room.data(), room.size());
    if (count <= 0) continue;
    held.insert(held.end(), room.begin(), room.begin() + count);
    while (held.size() >= request_size_) {
      const auto end = held.begin() + static_cast<std::ptrdiff_t>(request_size_);
      const Bytes request{held.begin(), end};
      held.erase(held.begin(), end);
      Script script;
      {
        const std::lock_guard lock{mutex_};
        requests_.push_back(request);
        script = script_;
      }
      if (!play(script(request))) return;
    }
  }
}

bool PtyPeer::play(const std::vector<Burst>& bursts) {
  for (const Burst& burst : bursts) {
    {
      std::unique_lock lock{mutex_};
      if (stopping_.wait_for(lock, burst.after, [this] { return stop_; })) return false;
    }
    send(burst.bytes);
  }
  return true;
}

}  // namespace support
