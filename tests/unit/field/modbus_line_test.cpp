// What a Modbus line makes of a peer that misbehaves. Real bytes over a real pty.

#include "stillwell/field/modbus_line.hpp"

#include "stillwell/field/clock.hpp"

#include <memory>

#include "support/catch.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"
#include <fcntl.h>
#include <sys/ioctl.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::field;
using config::Table;
using support::Burst;
using support::Bytes;
using support::with_crc;
using namespace std::chrono_literals;
using Bursts = std::vector<Burst>;

namespace {

constexpr int kStation = 7;
constexpr Duration kTimeout = 150ms;

config::LineWiring line_on(const std::string& port, Duration timeout = kTimeout) {
  config::LineWiring line;
  line.port = port;
  line.speed = 115200;
  line.timeout = timeout;
  line.quiet = 1750us;
  return line;
}

Bytes word_reply(std::uint16_t word) {
  return with_crc(
      {kStation, 4, 2, static_cast<std::uint8_t>(word >> 8), static_cast<std::uint8_t>(word & 0xFF)});
}

/// Whether the system keeps others (but root, which may look) from opening the port.
bool is_exclusive(const std::string& port) {
  const int descriptor = ::open(port.c_str(), O_RDWR | O_NOCTTY);
  if (descriptor < 0) return true;
  int exclusive = 0;
  ::ioctl(descriptor, TIOCGEXCL, &exclusive);
  ::close(descriptor);
  return exclusive != 0;
}

struct Bench {
  explicit Bench(support::PtyPeer::Script script, Duration timeout = kTimeout)
      : peer{std::move(script)}, line{line_on(peer.path(), timeout)} {
    REQUIRE_FALSE(line.open().has_value());
  }
  Reply read() { return line.read(kStation, {Table::input, 0, 1}); }
  /// As the line's users do: not before it has been silent long enough.
  Reply read_when_ready() {
    support::eventually([&] { return now() >= line.ready_at(); });
    return read();
  }
  support::PtyPeer peer;
  ModbusLine line;
};

}  // namespace

TEST_CASE("modbus line: silence ends at the timeout", "[field][modbus]") {
  Bench bench{[](const Bytes&) { return Bursts{}; }};
  const Instant began = now();
  CHECK(bench.read().status == ReplyStatus::silent);
  CHECK(now() - began >= kTimeout);
  CHECK(bench.line.ready_at() >= began + 2 * kTimeout);
  CHECK(bench.line.is_open());
}

TEST_CASE("modbus line: between two questions it keeps its gap", "[field][modbus]") {
  const support::PtyPeer peer{[](const Bytes&) { return Bursts{{word_reply(1)}}; }};
  config::LineWiring slow = line_on(peer.path(), 2s);
  slow.quiet = 50ms;
  ModbusLine line{slow};
  REQUIRE_FALSE(line.open().has_value());
  const Span span{.table = Table::input, .address = 0, .count = 1};
  const Instant began = now();
  for (int n = 0; n < 4; ++n)
    REQUIRE(line.read(kStation, span).status == ReplyStatus::answered);
  CHECK(now() - began >= 3 * slow.quiet);
}

TEST_CASE("modbus line: a dripping station cannot hold the line", "[field][modbus]") {
  Bench bench{[](const Bytes&) {
    Bursts drops;
    for (const std::uint8_t byte : word_reply(1))
      drops.push_back({{byte}, 60ms});
    return drops;  // 420 ms in all, none of the gaps longer than the timeout
  }};
  CHECK(bench.read().status == ReplyStatus::silent);
}

TEST_CASE("modbus line: a late reply is never taken for the next answer", "[field][modbus]") {
  // The first reply comes half a second after it was given up, while the line keeps silent for as long again,
  // and carries 111; all others are prompt and carry 222.
  auto first = std::make_shared<bool>(true);
  const auto script = [first](const Bytes&) {
    if (std::exchange(*first, false)) return Bursts{{word_reply(111), 1200ms}};
    return Bursts{{word_reply(222)}};
  };
  Bench bench{script, 800ms};
  CHECK(bench.read().status == ReplyStatus::silent);
  for (int n = 0; n < 5; ++n) {
    const Reply reply = bench.read_when_ready();
    REQUIRE(reply.status == ReplyStatus::answered);
    CHECK(reply.words == std::vector<std::uint16_t>{222});
  }
}

TEST_CASE("modbus line: a reply later than all patience is given away by its size", "[field][modbus]") {
  // It comes only when the next question has been put: the line's silence cannot catch it, its size does.
  auto first = std::make_shared<bool>(true);
  Bench bench{[first](const Bytes&) {
    if (std::exchange(*first, false)) return Bursts{};
    return Bursts{{word_reply(111)}};  // the answer to the first question, one register
  }};
  CHECK(bench.read().status == ReplyStatus::silent);
  support::eventually([&] { return now() >= bench.line.ready_at(); });
  CHECK(bench.line.read(kStation, {Table::input, 0, 2}).status == ReplyStatus::corrupt);
}

TEST_CASE("modbus line: a bad check sum, another station and another function are no answers",
          "[field][modbus]") {
  struct Row {
    std::string legend;
    Bytes answer;
  };
  Bytes bad_sum = word_reply(5);
  bad_sum.back() ^= 0x01;
  Bytes junk_before = word_reply(5);
  junk_before.insert(junk_before.begin(), {0x00, 0x00});
  const std::vector<Row> rows{
      {"a bad check sum", bad_sum},
      {"another station", with_crc({kStation + 1, 4, 2, 0, 5})},
      {"another function", with_crc({kStation, 3, 2, 0, 5})},
      {"another size", with_crc({kStation, 4, 4, 0, 5, 0, 6})},
      {"garbage", Bytes(40, 0xA5)},
      {"garbage before a good reply", junk_before},
  };
  for (const Row& row : rows) {
    INFO(row.legend);
    Bench bench{[&](const Bytes&) { return Bursts{{row.answer}}; }};
    const Reply reply = bench.read();
    CHECK(reply.status != ReplyStatus::answered);
    CHECK(reply.status != ReplyStatus::lost);
    // And what was left of it does not spoil the next one.
    bench.peer.follow([](const Bytes&) { return Bursts{{word_reply(6)}}; });
    const Reply next = bench.read_when_ready();
    REQUIRE(next.status == ReplyStatus::answered);
    CHECK(next.words == std::vector<std::uint16_t>{6});
  }
}

TEST_CASE("modbus line: junk behind a good reply does not poison the next one", "[field][modbus]") {
  Bench bench{[](const Bytes&) {
    Bytes reply = word_reply(5);
    reply.insert(reply.end(), {0x01, 0x02, 0x03});
    return Bursts{{reply}};
  }};
  for (int n = 0; n < 5; ++n) {
    const Reply reply = bench.read();
    REQUIRE(reply.status == ReplyStatus::answered);
    CHECK(reply.words == std::vector<std::uint16_t>{5});
  }
}

TEST_CASE("modbus line: what a babbling peer sent before the question is thrown away", "[field][modbus]") {
  Bench bench{[](const Bytes&) { return Bursts{{word_reply(222)}}; }};
  bench.peer.send(word_reply(111));  // nobody asked
  const Reply reply = bench.read();
  REQUIRE(reply.status == ReplyStatus::answered);
  CHECK(reply.words == std::vector<std::uint16_t>{222});
}

TEST_CASE("modbus line: an exception is told with its code and needs no silence", "[field][modbus]") {
  Bench bench{[](const Bytes&) { return Bursts{{with_crc({kStation, 0x84, 2})}}; }};
  const Reply reply = bench.read();
  CHECK(reply.status == ReplyStatus::exception);
  CHECK(reply.exception == 2);
  CHECK(bench.line.ready_at() <= now());
}

TEST_CASE("modbus line: a peer that hangs up closes the line at once", "[field][modbus]") {
  auto peer = std::make_unique<support::PtyPeer>([](const Bytes&) { return Bursts{}; });
  constexpr Duration kLong = 10s;
  ModbusLine line{line_on(peer->path(), kLong)};
  REQUIRE_FALSE(line.open().has_value());
  peer.reset();
  const Instant began = now();
  CHECK(line.read(kStation, {Table::input, 0, 1}).status == ReplyStatus::lost);
  CHECK(now() - began < kLong);  // it did not wait for an answer
  CHECK_FALSE(line.is_open());
  CHECK(line.read(kStation, {Table::input, 0, 1}).status == ReplyStatus::lost);
  const auto failure = line.open();
  REQUIRE(failure.has_value());
  CHECK(failure->find("plugged in") != std::string::npos);
}

TEST_CASE("modbus line: a port belongs to one line at a time", "[field][modbus]") {
  Bench bench{[](const Bytes&) { return Bursts{{word_reply(1)}}; }};
  ModbusLine second{line_on(bench.peer.path())};
  const auto refused = second.open();
  REQUIRE(refused.has_value());
  CHECK_FALSE(second.is_open());
  CHECK(bench.read().status == ReplyStatus::answered);  // the first one is none the worse
  CHECK(is_exclusive(bench.peer.path()));
  bench.line.close();
  CHECK_FALSE(is_exclusive(bench.peer.path()));
  CHECK_FALSE(second.open().has_value());
}

TEST_CASE("modbus line: what is no serial port, and no known speed, is refused in words", "[field][modbus]") {
  config::LineWiring file = line_on("/dev/null");
  CHECK(ModbusLine{file}.open().has_value());
  const support::PtyPeer peer{[](const Bytes&) { return Bursts{}; }};
  config::LineWiring odd = line_on(peer.path());
  odd.speed = 12345;
  const auto failure = ModbusLine{odd}.open();
  REQUIRE(failure.has_value());
  CHECK(failure->find("12345") != std::string::npos);
}

TEST_CASE("modbus line: it can be opened again and again without leaking files", "[field][modbus]") {
  Bench bench{[](const Bytes&) { return Bursts{{word_reply(1)}}; }};
  for (int n = 0; n < 1100; ++n) {  // more than the library's 1024 descriptors
    if (const auto failure = bench.line.open()) FAIL(*failure);
  }
  CHECK(bench.read().status == ReplyStatus::answered);
}
