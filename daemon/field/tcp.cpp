#include "stillwell/field/tcp.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/name_lookup.hpp"

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <deque>
#include <optional>
#include <system_error>
#include <utility>

#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/select.h>
#include <sys/socket.h>
#include <unistd.h>

namespace stillwell::field {
namespace {

/// Of a gateway that was switched off nothing is heard, not even that the connection is gone: bytes that
/// stay unacknowledged for so long say it.
constexpr unsigned kUnacknowledgedMs = 5000;

const sockaddr* as_sockaddr(const SocketAddress& address) {
  return reinterpret_cast<const sockaddr*>(address.data());  // NOLINT: how the system's calls want it
}

void tune(int descriptor) {
  const int on = 1;
  ::setsockopt(descriptor, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
  ::setsockopt(descriptor, IPPROTO_TCP, TCP_USER_TIMEOUT, &kUnacknowledgedMs, sizeof kUnacknowledgedMs);
}

/// How a connection that is under way ends: 0, or the system's error.
int outcome_of(int descriptor, Duration limit) {
  pollfd wanted{.fd = descriptor, .events = POLLOUT, .revents = 0};
  const auto ms = std::chrono::ceil<std::chrono::milliseconds>(std::max(limit, Duration::zero()));
  const int ready = ::poll(&wanted, 1, static_cast<int>(ms.count()));
  if (ready < 0) return errno;
  if (ready == 0) return ETIMEDOUT;
  int error = 0;
  socklen_t size = sizeof error;
  return ::getsockopt(descriptor, SOL_SOCKET, SO_ERROR, &error, &size) == 0 ? error : errno;
}

/// A connected socket, or minus the system's error.
int connect_to(const SocketAddress& address, Duration limit) {
  const int descriptor =
      ::socket(as_sockaddr(address)->sa_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
  if (descriptor < 0) return -errno;
  int error = 0;
  if (descriptor >= FD_SETSIZE)  // libmodbus selects: a larger one would end the program
    error = EMFILE;
  else if (::connect(descriptor, as_sockaddr(address), static_cast<socklen_t>(address.size())) != 0)
    error = errno == EINPROGRESS ? outcome_of(descriptor, limit) : errno;
  if (error != 0) {
    ::close(descriptor);
    return -error;
  }
  tune(descriptor);
  return descriptor;
}

}  // namespace

std::string to_text(const config::TcpAddress& address) {
  const bool is_v6 = address.host.find(':') != std::string::npos;
  return (is_v6 ? "[" + address.host + "]" : address.host) + ":" + std::to_string(address.port);
}

class TcpDialer::Impl {
 public:
  explicit Impl(config::TcpAddress address) : address_{std::move(address)} {}

  Result<int> dial(Duration limit) {
    const Instant until = now() + limit;
    if (untried_.empty()) {
      if (!lookup_) lookup_.emplace(address_);
      const auto found = lookup_->wait(limit);
      if (!found) return cannot_reach("its name is still being looked up");
      lookup_.reset();
      if (!*found) return cannot_reach(found->error());
      untried_.assign((*found)->begin(), (*found)->end());
    }
    int error = ETIMEDOUT;
    while (!untried_.empty() && now() < until) {
      const int descriptor = connect_to(untried_.front(), until - now());
      if (descriptor >= 0) {
        untried_.clear();  // when this one is lost the name may mean another
        return descriptor;
      }
      untried_.pop_front();
      error = -descriptor;
    }
    return cannot_reach(std::generic_category().message(error));
  }

 private:
  [[nodiscard]] Failure cannot_reach(const std::string& why) const {
    return {"cannot reach " + to_text(address_) + ": " + why};
  }

  config::TcpAddress address_;
  std::optional<NameLookup> lookup_;
  std::deque<SocketAddress> untried_;
};

TcpDialer::TcpDialer(config::TcpAddress address) : impl_{std::make_unique<Impl>(std::move(address))} {}
TcpDialer::~TcpDialer() = default;

Result<int> TcpDialer::dial(Duration limit) {
  return impl_->dial(limit);
}

}  // namespace stillwell::field
