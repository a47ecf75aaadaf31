#pragma once
// The orchard's own program on ptys in a directory of its own, and the computer's end of a line as raw bytes.
// Nothing of the daemon's client is used here.

#include <chrono>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

namespace support {

using Bytes = std::vector<std::uint8_t>;

inline const std::string kOrchard = support::binary_dir() + "/stillwell-orchard";
inline const std::string kDemo = support::source_dir() + "/config/demo/";

/// CRC-16/MODBUS once more, bit by bit from the specification's own words (Serial Line V1.02, 6.2.2).
inline void append_sum(Bytes& frame) {
  unsigned sum = 0xFFFF;
  for (const std::uint8_t byte : frame) {
    sum ^= byte;
    for (int bit = 0; bit < 8; ++bit)
      sum = (sum & 1U) != 0 ? (sum >> 1U) ^ 0xA001U : sum >> 1U;
  }
  frame.push_back(static_cast<std::uint8_t>(sum & 0xFFU));
  frame.push_back(static_cast<std::uint8_t>(sum >> 8U));
}

inline Bytes request(std::uint8_t station, std::uint8_t function, std::uint8_t address, std::uint16_t value) {
  Bytes frame{station,
              function,
              0,
              address,
              static_cast<std::uint8_t>(value >> 8U),
              static_cast<std::uint8_t>(value & 0xFFU)};
  append_sum(frame);
  return frame;
}

/// The computer's end of a line.
class Port {
 public:
  explicit Port(const std::string& path) : fd_{open(path.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK)} {}
  ~Port() {
    if (fd_ >= 0) close(fd_);
  }
  Port(const Port&) = delete;
  Port& operator=(const Port&) = delete;

  [[nodiscard]] bool opened() const { return fd_ >= 0; }
  void send(const Bytes& bytes) {
    REQUIRE(write(fd_, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
  }
  /// Exactly that many bytes, or those that came within the bound.
  Bytes take(std::size_t count, Bound bound = kPatience) {
    Bytes bytes;
    const auto end = std::chrono::steady_clock::now() + bound;
    while (bytes.size() < count && std::chrono::steady_clock::now() < end) {
      pollfd wait{.fd = fd_, .events = POLLIN, .revents = 0};
      if (poll(&wait, 1, 20) <= 0) continue;
      std::uint8_t byte = 0;
      if (read(fd_, &byte, 1) != 1) break;
      bytes.push_back(byte);
    }
    return bytes;
  }
  /// The reply of a given length to a request; without its check sum, which must be right.
  Bytes ask(const Bytes& frame, std::size_t length) {
    send(frame);
    Bytes reply = take(length);
    REQUIRE(reply.size() == length);
    Bytes body{reply.begin(), reply.end() - 2};
    Bytes again = body;
    append_sum(again);
    REQUIRE(again == reply);
    return body;
  }
  /// True when the other end is gone.
  [[nodiscard]] bool hung_up() const {
    pollfd wait{.fd = fd_, .events = POLLIN, .revents = 0};
    return poll(&wait, 1, 0) > 0 && (wait.revents & POLLHUP) != 0;
  }

 private:
  int fd_;
};

/// The demonstration's site on ptys in a directory of its own, its waters at rest.
class Orchard {
 public:
  Orchard() {
    std::string configuration = read_file(kDemo + "stillwell.yaml");
    const std::string theirs = "/run/stillwell-demo";
    for (std::size_t at = 0; (at = configuration.find(theirs, at)) != std::string::npos;) {
      configuration.replace(at, theirs.size(), directory_.path());
    }
    write_file(directory_.file("stillwell.yaml"), configuration);
    start();
  }

  void start(const std::vector<std::string>& more = {}) {
    std::vector<std::string> command{kOrchard, "--config", directory_.file("stillwell.yaml")};
    command.insert(command.end(), more.begin(), more.end());
    program_ = std::make_unique<Process>(command);
    REQUIRE(program_->wait_line("ready"));
  }
  /// Carries an order out; its answer.
  std::string order(const std::string& text) {
    const std::size_t before = program_->out().size();
    REQUIRE(program_->write(text + "\n"));
    std::string answer;
    REQUIRE(eventually([&] {
      const std::string news = program_->out().substr(before);
      const std::size_t from = news.starts_with("ok ") ? 0 : news.find("\nok ");
      const std::size_t end = from == std::string::npos ? from : news.find('\n', from + 1);
      if (end == std::string::npos) return false;
      answer = news.substr(from, end - from);
      return true;
    }));
    return answer;
  }
  [[nodiscard]] std::string shed() const { return directory_.file("shed"); }
  [[nodiscard]] std::string mast() const { return directory_.file("mast"); }
  Process& program() { return *program_; }
  TemporaryDirectory& directory() { return directory_; }

 private:
  TemporaryDirectory directory_;
  std::unique_ptr<Process> program_;
};

}  // namespace support
