// A message that is delivered twice: a broker does that by the bytes of the DUP flag (MQTT 5.0, 3.3.1.1), and
// no real one does it on demand. So this one speaks real bytes over a real socket as the test tells it.
#include "stillwell/report/mqtt.hpp"

#include <array>
#include <atomic>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"
#include <arpa/inet.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::report;
using support::eventually;

namespace {

/// Takes one client, grants what it asks, and sends it what the test says.
class ScriptedBroker {
 public:
  ScriptedBroker() : listener_{::socket(AF_INET, SOCK_STREAM, 0)} {
    sockaddr_in place{};
    place.sin_family = AF_INET;
    place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof place;
    auto* const address = reinterpret_cast<sockaddr*>(&place);
    const bool listens = ::bind(listener_, address, size) == 0 && ::listen(listener_, 1) == 0 &&
                         ::getsockname(listener_, address, &size) == 0;
    REQUIRE(listens);
    port_ = ntohs(place.sin_port);
    thread_ = std::thread{[this] { serve(); }};
  }
  ~ScriptedBroker() {
    ::shutdown(listener_, SHUT_RDWR);
    ::shutdown(client_, SHUT_RDWR);
    thread_.join();
    ::close(client_);
    ::close(listener_);
  }
  ScriptedBroker(const ScriptedBroker&) = delete;
  ScriptedBroker& operator=(const ScriptedBroker&) = delete;

  [[nodiscard]] int port() const { return port_; }
  void send(const std::string& bytes) const { REQUIRE(::write(client_, bytes.data(), bytes.size()) > 0); }

 private:
  void serve() {
    client_ = ::accept(listener_, nullptr, nullptr);
    while (const auto packet = read_packet())
      answer(*packet);
  }
  std::optional<std::string> read_bytes(std::size_t count) const {
    std::string bytes(count, '\0');
    if (count > 0 && ::recv(client_, bytes.data(), count, MSG_WAITALL) != static_cast<ssize_t>(count))
      return {};
    return bytes;
  }
  /// The first byte and the body; the length between them is of seven bits a byte (MQTT 5.0, 1.5.5).
  std::optional<std::string> read_packet() const {
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
  void answer(const std::string& packet) const {
    const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(packet.at(at)); };
    switch (byte(0) >> 4) {
      case 1: return send(std::string("\x20\x03\x00\x00\x00", 5));  // CONNACK: a new session, success
      case 3: {                                                     // PUBACK of its packet identifier
        const std::size_t id = 3 + (static_cast<std::size_t>(byte(1)) << 8) + byte(2);
        if ((byte(0) & 0x06) != 0) send(std::string("\x40\x02", 2) + packet.substr(id, 2));
        return;
      }
      case 8:  // SUBACK: QoS 2 granted
        return send(std::string("\x90\x04", 2) + packet.substr(1, 2) + std::string("\x00\x02", 2));
      case 12: return send(std::string("\xD0\x00", 2));  // PINGRESP
      default: return;
    }
  }

  int listener_;
  std::atomic<int> client_ = -1;
  int port_ = 0;
  std::thread thread_;
};

/// A PUBLISH with QoS 1, without properties.
std::string packet(const std::string& topic, const std::string& payload, char id, bool duplicate) {
  const std::string body = std::string{'\0', static_cast<char>(topic.size())} + topic +
                           std::string{'\0', id} + std::string(1, '\0') + payload;
  return std::string{static_cast<char>(duplicate ? 0x3A : 0x32), static_cast<char>(body.size())} + body;
}

}  // namespace

TEST_CASE("mqtt commands: what is delivered twice is carried out once", "[report][mqtt][commands]") {
  const ScriptedBroker broker;
  const auto model = support::orchard_model();
  config::Broker options;
  options.host = "127.0.0.1";
  options.port = broker.port();
  options.accept = {config::Accept::mode};
  std::mutex mutex;
  std::string told;
  std::atomic<int> solved = 0;
  const auto tells = [&](const std::string& text) {
    return eventually([&] {
      const std::scoped_lock lock{mutex};
      return told.find(text) != std::string::npos;
    });
  };
  const auto say = [&](const Event& event) {
    const std::scoped_lock lock{mutex};
    told += event.cause + ": " + event.text + "\n";
  };
  const auto solve = [&](const Command& command) {
    ++solved;
    return Answer{command.number, true, "done"};
  };
  Mqtt mqtt{model, options, "0.1.0", say, {.ask = solve}};
  mqtt.show(support::calm_view(model));
  REQUIRE(tells("broker-connected"));
  broker.send(packet("homie/5/orchard-lift/pump/mode/set", "off", 1, false));
  broker.send(packet("homie/5/orchard-lift/pump/mode/set", "off", 1, true));
  CHECK(tells("mode: refused: homie/5/orchard-lift/pump/mode/set: it was delivered twice"));
  CHECK(solved == 1);
}
