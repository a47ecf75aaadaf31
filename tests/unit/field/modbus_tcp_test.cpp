// Modbus over TCP: what a line makes of a gateway that is well, and of one that misbehaves. Real bytes over
// the loopback interface; the frames that should leave are the published ones.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/modbus_line.hpp"
#include "stillwell/field/tcp.hpp"

#include <memory>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/process.hpp"
#include "support/tcp_peer.hpp"
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::field;
using config::Table;
using support::Burst;
using support::Bytes;
using support::over_tcp;
using namespace std::chrono_literals;
using Bursts = std::vector<Burst>;

namespace {

constexpr int kStation = 0x11;  // of every published frame
constexpr Duration kTimeout = 150ms;

config::LineWiring line_to(int port, Duration timeout = kTimeout) {
  config::LineWiring line;
  line.tcp = config::TcpAddress{.host = "127.0.0.1", .port = port};
  line.timeout = timeout;
  return line;
}

struct Bench {
  explicit Bench(support::TcpPeer::Script script, Duration timeout = kTimeout)
      : peer{std::move(script)}, line{line_to(peer.port(), timeout)} {
    REQUIRE_FALSE(line.open().has_value());
  }
  Reply read(int count = 1) {
    support::eventually([&] { return now() >= line.ready_at(); });
    return line.read(kStation, {Table::input, 8, count});
  }
  support::TcpPeer peer;
  ModbusLine line;
};

/// A register with this word in it, as unit and PDU.
Bytes word(std::uint8_t value) {
  return {kStation, 4, 2, 0, value};
}

Reply ask(ModbusLine& line, const std::string& function) {
  if (function == "01") return line.read(kStation, {Table::coil, 0x13, 19});
  if (function == "02") return line.read(kStation, {Table::discrete, 0xC4, 22});
  if (function == "03") return line.read(kStation, {Table::holding, 0x6B, 3});
  if (function == "04") return line.read(kStation, {Table::input, 8, 1});
  if (function == "05") return line.write_coil(kStation, 0xAC, true);
  return line.write_register(kStation, 1, 3);
}

/// The published frame of a function as it travels over TCP; its transaction is 1, that of a first question.
Bytes published(const std::string& kind, const std::string& function) {
  const support::Csv frames{"08_modbus_frames.csv"};
  for (std::size_t row = 0; row < frames.size(); ++row) {
    if (frames.at(row, "kind") == kind && frames.at(row, "function_code_hex") == function)
      return support::from_hex(frames.at(row, "tcp_adu_hex"));
  }
  throw std::runtime_error("no such frame");
}

/// A port on which connections wait for ever: its queue is full, and nobody takes anybody out of it.
class FullDoor {
 public:
  FullDoor() : listener_{::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)} {
    socklen_t size = sizeof address_;
    address_.sin_family = AF_INET;
    address_.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    REQUIRE(::bind(listener_, any(), size) == 0);
    REQUIRE(::listen(listener_, 0) == 0);
    REQUIRE(::getsockname(listener_, any(), &size) == 0);
    for (int n = 0; n < 4; ++n) {
      waiting_.push_back(::socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
      ::connect(waiting_.back(), any(), size);
    }
  }
  ~FullDoor() {
    for (const int descriptor : waiting_)
      ::close(descriptor);
    ::close(listener_);
  }
  FullDoor(const FullDoor&) = delete;
  FullDoor& operator=(const FullDoor&) = delete;
  [[nodiscard]] int port() const { return ntohs(address_.sin_port); }

 private:
  sockaddr* any() { return reinterpret_cast<sockaddr*>(&address_); }
  int listener_;
  sockaddr_in address_{};
  std::vector<int> waiting_;
};

}  // namespace

TEST_CASE("modbus tcp: each published request leaves as printed, each answer is understood",
          "[field][tcp][published]") {
  const std::vector<std::pair<std::string, std::vector<std::uint16_t>>> expected{
      {"03", {555, 0, 100}}, {"04", {10}}, {"05", {}}, {"06", {}}};
  for (const auto& [function, words] : expected) {
    INFO("function " << function);
    const Bytes answer = published("response", function);
    Bench bench{[answer](const Bytes&) { return Bursts{{answer}}; }};
    const Reply reply = ask(bench.line, function);
    CHECK(bench.peer.requests() == std::vector<Bytes>{published("request", function)});
    CHECK(reply.status == ReplyStatus::answered);
    CHECK(reply.words == words);
  }
  for (const std::string function : {"01", "02"}) {
    INFO("function " << function);
    const Bytes answer = published("response", function);
    Bench bench{[answer](const Bytes&) { return Bursts{{answer}}; }};
    const Reply reply = ask(bench.line, function);
    CHECK(bench.peer.requests() == std::vector<Bytes>{published("request", function)});
    CHECK(reply.status == ReplyStatus::answered);
    CHECK(reply.words.size() == (function == "01" ? 19U : 22U));
  }
}

TEST_CASE("modbus tcp: an exception is told with its code", "[field][tcp]") {
  Bench bench{[](const Bytes& request) { return Bursts{{over_tcp(request, {kStation, 0x84, 0x0B})}}; }};
  const Reply reply = bench.read();
  CHECK(reply.status == ReplyStatus::exception);
  CHECK(reply.exception == 0x0B);
  CHECK(bench.line.is_open());
}

TEST_CASE("modbus tcp: a gateway that is one reply behind for good is never believed", "[field][tcp]") {
  // Each question is answered at once, in the right size, with the answer to the one before it.
  Bench bench{[](const Bytes& request) { return Bursts{{over_tcp(request, word(111), -1)}}; }};
  for (int n = 0; n < 5; ++n)
    CHECK(bench.read().status == ReplyStatus::corrupt);
}

TEST_CASE("modbus tcp: a late reply is never taken for the next answer, and spoils at most one",
          "[field][tcp]") {
  auto late = std::make_shared<Bytes>();
  Bench bench{[late](const Bytes& request) {
    if (late->empty()) {
      *late = over_tcp(request, word(111));
      return Bursts{};
    }
    Bursts bursts{{over_tcp(request, word(222))}};
    if (late->size() > 1) bursts.insert(bursts.begin(), Burst{std::exchange(*late, Bytes{0}), 0ms});
    return bursts;
  }};
  CHECK(bench.read().status == ReplyStatus::silent);
  CHECK(bench.read().status == ReplyStatus::corrupt);  // the late one, then the right one that is thrown away
  for (int n = 0; n < 5; ++n) {
    const Reply reply = bench.read();
    REQUIRE(reply.status == ReplyStatus::answered);
    CHECK(reply.words == std::vector<std::uint16_t>{222});
  }
}

TEST_CASE("modbus tcp: what came while nobody asked is thrown away", "[field][tcp]") {
  auto first = std::make_shared<bool>(true);
  Bench bench{[first](const Bytes& request) {
    // Behind the first answer come another one for the same question and one for the next.
    if (!std::exchange(*first, false)) return Bursts{{over_tcp(request, word(222))}};
    Bytes three = over_tcp(request, word(1));
    for (const int later : {0, 1}) {
      const Bytes more = over_tcp(request, word(111), later);
      three.insert(three.end(), more.begin(), more.end());
    }
    return Bursts{{three}};
  }};
  CHECK(bench.read().words == std::vector<std::uint16_t>{1});
  CHECK(bench.read().words == std::vector<std::uint16_t>{222});
}

TEST_CASE("modbus tcp: half a reply and then nothing is silence, and its rest spoils no answer",
          "[field][tcp]") {
  auto first = std::make_shared<bool>(true);
  Bench bench{[first](const Bytes& request) {
    const Bytes whole = over_tcp(request, word(111));
    if (std::exchange(*first, false)) return Bursts{{Bytes(whole.begin(), whole.begin() + 8)}};
    return Bursts{{over_tcp(request, word(222))}};
  }};
  CHECK(bench.read().status == ReplyStatus::silent);
  CHECK(bench.read().words == std::vector<std::uint16_t>{222});
}

TEST_CASE("modbus tcp: a dripping gateway cannot hold the line", "[field][tcp]") {
  Bench bench{[](const Bytes& request) {
    Bursts drops;
    for (const std::uint8_t byte : over_tcp(request, word(1)))
      drops.push_back({{byte}, 60ms});
    return drops;  // 660 ms in all, none of the gaps longer than the timeout
  }};
  CHECK(bench.read().status == ReplyStatus::silent);
}

TEST_CASE("modbus tcp: another function, another size and garbage are no answers", "[field][tcp]") {
  struct Row {
    std::string legend;
    Bytes unit_and_pdu;
  };
  for (const Row& row :
       {Row{"another function", {kStation, 3, 2, 0, 5}}, Row{"another size", {kStation, 4, 4, 0, 5, 0, 6}},
        Row{"garbage", Bytes(40, 0xA5)}}) {
    INFO(row.legend);
    const Bytes answer = row.unit_and_pdu;
    Bench bench{[answer](const Bytes& request) { return Bursts{{over_tcp(request, answer)}}; }};
    CHECK(bench.read().status != ReplyStatus::answered);
    bench.peer.follow([](const Bytes& request) { return Bursts{{over_tcp(request, word(6))}}; });
    CHECK(bench.read().words == std::vector<std::uint16_t>{6});
  }
}

TEST_CASE("modbus tcp: a gateway that hangs up closes the line, and it is opened anew", "[field][tcp]") {
  for (const std::size_t sent : {0U, 5U}) {
    INFO(sent << " bytes before the end");
    Bench bench{[sent](const Bytes& request) {
                  const Bytes whole = over_tcp(request, word(1));
                  const auto end = whole.begin() + static_cast<std::ptrdiff_t>(sent);
                  return sent == 0 ? Bursts{{{}}} : Bursts{{Bytes(whole.begin(), end)}, {{}}};
                },
                10s};
    const Instant began = now();
    CHECK(bench.read().status == ReplyStatus::lost);
    CHECK(now() - began < 10s);  // it did not wait for an answer
    CHECK_FALSE(bench.line.is_open());
    bench.peer.follow([](const Bytes& request) { return Bursts{{over_tcp(request, word(6))}}; });
    REQUIRE_FALSE(bench.line.open().has_value());
    CHECK(bench.read().words == std::vector<std::uint16_t>{6});
  }
}

TEST_CASE("modbus tcp: one that hung up between two questions is noticed before the next", "[field][tcp]") {
  Bench bench{[](const Bytes& request) { return Bursts{{over_tcp(request, word(1))}}; }};
  CHECK(bench.read().status == ReplyStatus::answered);
  bench.peer.hang_up();
  CHECK(support::eventually([&] { return bench.read().status == ReplyStatus::lost; }));
  CHECK_FALSE(bench.line.is_open());
}

TEST_CASE("modbus tcp: a gateway that refuses, or lets callers wait, is told in words", "[field][tcp]") {
  int port = 0;
  {
    port = support::TcpPeer{[](const Bytes&) { return Bursts{}; }}.port();
  }
  const auto refused = ModbusLine{line_to(port)}.open();
  REQUIRE(refused.has_value());
  CHECK(refused->find("cannot reach 127.0.0.1:" + std::to_string(port)) != std::string::npos);
  CHECK(refused->find("refused") != std::string::npos);

  const FullDoor door;
  const Instant began = now();
  const auto waited = ModbusLine{line_to(door.port())}.open();
  REQUIRE(waited.has_value());
  CHECK(waited->find("timed out") != std::string::npos);
  CHECK(now() - began >= kTimeout);
}

TEST_CASE("modbus tcp: a gateway that takes calls and says nothing is silent, question by question",
          "[field][tcp]") {
  Bench bench{[](const Bytes&) { return Bursts{}; }, 50ms};
  for (int n = 0; n < 3; ++n)
    CHECK(bench.read().status == ReplyStatus::silent);
  CHECK(bench.line.is_open());
}

TEST_CASE("modbus tcp: a name is looked up, and all of its addresses are tried", "[field][tcp]") {
  // localhost stands in /etc/hosts, often for ::1 first; the peer listens on 127.0.0.1 alone.
  const support::TcpPeer peer{[](const Bytes& request) { return Bursts{{over_tcp(request, word(6))}}; }};
  TcpDialer dialer{{.host = "localhost", .port = peer.port()}};
  int descriptor = -1;
  CHECK(support::eventually([&] {
    const auto dialled = dialer.dial(1s);
    if (dialled) descriptor = *dialled;
    return dialled.ok();
  }));
  REQUIRE(descriptor >= 0);
  ::close(descriptor);
}

TEST_CASE("modbus tcp: it can be opened again and again without leaking files", "[field][tcp]") {
  Bench bench{[](const Bytes& request) { return Bursts{{over_tcp(request, word(1))}}; }, 5s};
  for (int n = 0; n < 1100; ++n) {  // more than the library's 1024 descriptors
    if (const auto failure = bench.line.open()) FAIL(*failure);
  }
  CHECK(bench.read().status == ReplyStatus::answered);
}

TEST_CASE("modbus tcp: an address is written as people write it", "[field][tcp]") {
  CHECK(to_text(config::TcpAddress{.host = "gateway.lan", .port = 502}) == "gateway.lan:502");
  CHECK(to_text(config::TcpAddress{.host = "::1", .port = 1502}) == "[::1]:1502");
}
