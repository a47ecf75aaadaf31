#include "support/tcp_peer.hpp"

#include <array>
#include <stdexcept>
#include <utility>

#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

namespace support {
namespace {

constexpr std::size_t kRequest = 12;
constexpr std::size_t kHead = 6;  // transaction, protocol, length

}  // namespace

TcpPeer::TcpPeer(Script script)
    : listener_{::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)}, script_{std::move(script)} {
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  auto* any = reinterpret_cast<sockaddr*>(&address);
  socklen_t size = sizeof address;
  const bool listens = ::bind(listener_, any, size) == 0 && ::listen(listener_, 8) == 0 &&
                       ::getsockname(listener_, any, &size) == 0;
  if (!listens) throw std::runtime_error("no port to listen on");
  port_ = ntohs(address.sin_port);
  thread_ = std::thread{[this] { serve(); }};
}

TcpPeer::~TcpPeer() {
  {
    const std::lock_guard lock{mutex_};
    stop_ = true;
  }
  thread_.join();
  end_connection();
  ::close(listener_);
}

int TcpPeer::connections() const {
  const std::lock_guard lock{mutex_};
  return connections_;
}

std::vector<Bytes> TcpPeer::requests() const {
  const std::lock_guard lock{mutex_};
  return requests_;
}

void TcpPeer::follow(Script script) {
  const std::lock_guard lock{mutex_};
  script_ = std::move(script);
}

void TcpPeer::hang_up() {
  const std::lock_guard lock{mutex_};
  drop_ = true;
}

bool TcpPeer::stopped() const {
  const std::lock_guard lock{mutex_};
  return stop_;
}

void TcpPeer::serve() {
  constexpr int kLookMs = 20;  // how soon it notices that it shall stop
  while (!stopped()) {
    std::array<pollfd, 2> wanted{pollfd{.fd = listener_, .events = POLLIN, .revents = 0},
                                 pollfd{.fd = client_, .events = POLLIN, .revents = 0}};
    ::poll(wanted.data(), wanted.size(), kLookMs);
    {
      const std::lock_guard lock{mutex_};
      if (std::exchange(drop_, false)) end_connection();
    }
    if (client_ >= 0 && wanted[1].revents != 0) hear();
    if (wanted[0].revents != 0) admit();
  }
}

void TcpPeer::admit() {
  end_connection();
  client_ = ::accept(listener_, nullptr, nullptr);
  const std::lock_guard lock{mutex_};
  ++connections_;
}

void TcpPeer::hear() {
  std::array<std::uint8_t, 256> room{};
  const auto count = ::read(client_, room.data(), room.size());
  if (count <= 0) return end_connection();
  held_.insert(held_.end(), room.begin(), room.begin() + count);
  while (held_.size() >= kRequest) {
    const Bytes request{held_.begin(), held_.begin() + kRequest};
    held_.erase(held_.begin(), held_.begin() + kRequest);
    Script script;
    {
      const std::lock_guard lock{mutex_};
      requests_.push_back(request);
      script = script_;
    }
    if (!play(script(request))) return end_connection();
  }
}

bool TcpPeer::play(const std::vector<Burst>& bursts) {
  for (const Burst& burst : bursts) {
    std::this_thread::sleep_for(burst.after);
    if (burst.bytes.empty()) return false;
    if (::send(client_, burst.bytes.data(), burst.bytes.size(), MSG_NOSIGNAL) < 0) return false;
  }
  return true;
}

void TcpPeer::end_connection() {
  if (client_ >= 0) ::close(std::exchange(client_, -1));
  held_.clear();
}

Bytes over_tcp(const Bytes& request, const Bytes& unit_and_pdu, int later) {
  const int transaction = (request[0] << 8 | request[1]) + later;
  Bytes reply{static_cast<std::uint8_t>(transaction >> 8 & 0xFF),
              static_cast<std::uint8_t>(transaction & 0xFF),
              0,
              0,
              0,
              static_cast<std::uint8_t>(unit_and_pdu.size())};
  reply.insert(reply.end(), unit_and_pdu.begin(), unit_and_pdu.end());
  return reply;
}

std::vector<Burst> serve_over_tcp(ModbusModule& module, const Bytes& request) {
  std::vector<Burst> bursts = module.serve(with_crc({request.begin() + kHead, request.end()}));
  for (Burst& burst : bursts)
    burst.bytes = over_tcp(request, {burst.bytes.begin(), burst.bytes.end() - 2});
  return bursts;
}

}  // namespace support
