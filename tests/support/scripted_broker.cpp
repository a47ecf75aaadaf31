#include "support/scripted_broker.hpp"

#include <stdexcept>
#include <utility>

#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

namespace support {

std::string ScriptedBroker::honest(const std::string& packet) {
  const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(packet.at(at)); };
  switch (byte(0) >> 4) {
    case 1: return {"\x20\x03\x00\x00\x00", 5};  // CONNACK: a new session, success
    case 3: {                                    // PUBACK of its packet identifier
      const std::size_t id = 3 + (static_cast<std::size_t>(byte(1)) << 8) + byte(2);
      return (byte(0) & 0x06) == 0 ? std::string{} : std::string("\x40\x02", 2) + packet.substr(id, 2);
    }
    case 8:  // SUBACK: QoS 2 granted
      return std::string("\x90\x04", 2) + packet.substr(1, 2) + std::string("\x00\x02", 2);
    case 12: return {"\xD0\x00", 2};  // PINGRESP
    default: return {};
  }
}

ScriptedBroker::ScriptedBroker(Script script)
    : script_{std::move(script)}, listener_{::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)} {
  sockaddr_in place{};
  place.sin_family = AF_INET;
  place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof place;
  auto* const address = reinterpret_cast<sockaddr*>(&place);
  const bool listens = ::bind(listener_, address, size) == 0 && ::listen(listener_, 1) == 0 &&
                       ::getsockname(listener_, address, &size) == 0;
  if (!listens) throw std::runtime_error{"no port to listen on"};
  port_ = ntohs(place.sin_port);
  thread_ = std::thread{[this] { serve(); }};
}

ScriptedBroker::~ScriptedBroker() {
  stopping_ = true;
  ::shutdown(listener_, SHUT_RDWR);
  ::shutdown(client_, SHUT_RDWR);
  thread_.join();
  ::close(listener_);
}

bool ScriptedBroker::send(const std::string& bytes) const {
  std::size_t sent = 0;
  while (sent < bytes.size()) {
    const ssize_t count = ::send(client_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
    if (count <= 0) return false;
    sent += static_cast<std::size_t>(count);
  }
  return true;
}

void ScriptedBroker::serve() {
  while (!stopping_) {
    const int client = ::accept4(listener_, nullptr, nullptr, SOCK_CLOEXEC);
    if (client < 0) return;
    client_ = client;
    ++clients_;
    while (const auto packet = read_packet()) {
      if (!send(script_(*packet))) break;
    }
    client_ = -1;
    ::close(client);
  }
}

std::optional<std::string> ScriptedBroker::read_bytes(std::size_t count) const {
  std::string bytes(count, '\0');
  if (count > 0 && ::recv(client_, bytes.data(), count, MSG_WAITALL) != static_cast<ssize_t>(count))
    return {};
  return bytes;
}

/// The first byte and the body; the length between them is of seven bits a byte (MQTT 5.0, 1.5.5).
std::optional<std::string> ScriptedBroker::read_packet() const {
  const auto type = read_bytes(1);
  std::size_t length = 0;
  for (int shift = 0; type; shift += 7) {
    const auto byte = read_bytes(1);
    if (!byte) return {};
    length |= static_cast<std::size_t>(byte->front() & 0x7F) << shift;
    if ((byte->front() & 0x80) == 0) break;
  }
  const auto body = type ? read_bytes(length) : std::nullopt;
  return body ? std::optional{*type + *body} : std::nullopt;
}

std::string ScriptedBroker::message(const std::string& topic, const std::string& payload, char id,
                                    bool duplicate) {
  const std::string body = std::string{'\0', static_cast<char>(topic.size())} + topic +
                           std::string{'\0', id} + std::string(1, '\0') + payload;
  return std::string{static_cast<char>(duplicate ? 0x3A : 0x32), static_cast<char>(body.size())} + body;
}

}  // namespace support
