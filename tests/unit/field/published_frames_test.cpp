// Our client against the published examples of the Modbus Application Protocol Specification V1.1b3
// (tests/reference/08_modbus_frames.csv, with its sources): the bytes it puts on a real pty, and what it
// makes of the published answers.

#include "stillwell/field/modbus_line.hpp"

#include <atomic>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"
#include "support/modbus_module.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Table;
using support::Bytes;
using namespace std::chrono_literals;

namespace {

constexpr int kStation = 0x11;  // of every published frame

config::LineWiring line_on(const std::string& port, Duration timeout = 2s) {
  config::LineWiring line;
  line.port = port;
  line.speed = 115200;
  line.timeout = timeout;
  line.quiet = 1750us;
  return line;
}

/// The published frame of a function, request or response.
Bytes published(const std::string& kind, const std::string& function) {
  const support::Csv frames{"08_modbus_frames.csv"};
  for (std::size_t row = 0; row < frames.size(); ++row) {
    if (frames.at(row, "kind") == kind && frames.at(row, "function_code_hex") == function)
      return support::from_hex(frames.at(row, "rtu_frame_hex"));
  }
  FAIL("no published " + kind + " of function " + function);
  return {};
}

Reply ask(ModbusLine& line, const std::string& function) {
  if (function == "01") return line.read(kStation, {Table::coil, 0x13, 0x13});
  if (function == "02") return line.read(kStation, {Table::discrete, 0xC4, 0x16});
  if (function == "03") return line.read(kStation, {Table::holding, 0x6B, 3});
  if (function == "04") return line.read(kStation, {Table::input, 8, 1});
  if (function == "05") return line.write_coil(kStation, 0xAC, true);
  return line.write_register(kStation, 1, 3);
}

/// Asks and hears what the peer is told to answer.
Reply exchange(const std::string& function, const Bytes& answer, Bytes& request, Duration timeout = 2s) {
  support::PtyPeer peer{[&](const Bytes&) { return std::vector<support::Burst>{{answer}}; }};
  ModbusLine line{line_on(peer.path(), timeout)};
  REQUIRE_FALSE(line.open().has_value());
  Reply reply = ask(line, function);
  REQUIRE_FALSE(peer.requests().empty());
  request = peer.requests().front();
  return reply;
}

std::vector<std::uint16_t> bits(const Bytes& bytes, int count) {
  std::vector<std::uint16_t> each;
  each.reserve(static_cast<std::size_t>(count));
  for (int n = 0; n < count; ++n)
    each.push_back(bytes[static_cast<std::size_t>(n / 8)] >> n % 8 & 1);
  return each;
}

}  // namespace

TEST_CASE("published frames: each request leaves as printed, each answer is understood",
          "[field][published]") {
  const std::vector<std::pair<std::string, std::vector<std::uint16_t>>> expected{
      {"01", bits({0xCD, 0x6B, 0x05}, 19)},  // coils 27-20 CD, 35-28 6B, 38-36 05
      {"02", bits({0xAC, 0xDB, 0x35}, 22)}, {"03", {555, 0, 100}}, {"04", {10}}, {"05", {}}, {"06", {}},
  };
  for (const auto& [function, words] : expected) {
    INFO("function " << function);
    Bytes request;
    const Reply reply = exchange(function, published("response", function), request);
    CHECK(request == published("request", function));
    CHECK(reply.status == ReplyStatus::answered);
    CHECK(reply.words == words);
  }
}

TEST_CASE("published frames: an exception is an answer that carries no value", "[field][published]") {
  const support::Csv frames{"08_modbus_frames.csv"};
  int tried = 0;
  for (std::size_t row = 0; row < frames.size(); ++row) {
    const std::string function = frames.at(row, "function_code_hex");
    const bool ours = function >= "01" && function <= "06" && function.size() == 2;
    if (frames.at(row, "kind") != "exception response frame" || !ours) continue;
    const Bytes frame = support::from_hex(frames.at(row, "rtu_frame_hex"));
    INFO(frames.at(row, "description"));
    Bytes request;
    const Reply reply = exchange(function, frame, request);
    CHECK(reply.status == ReplyStatus::exception);
    CHECK(reply.exception == frame[2]);
    ++tried;
  }
  CHECK(tried == 54);  // six functions, nine codes
}

TEST_CASE("published frames: the one printed with a wrong check sum is refused", "[field][published]") {
  const support::Csv frames{"08_modbus_frames.csv"};
  int tried = 0;
  for (std::size_t row = 0; row < frames.size(); ++row) {
    if (frames.at(row, "kind") != "RTU frame with WRONG CRC") continue;
    const Bytes frame = support::from_hex(frames.at(row, "rtu_frame_hex"));
    CHECK(support::with_crc({frame.begin(), frame.end() - 2}) != frame);
    // It is a request. A module must not answer it, but would answer the same one with its own check sum.
    support::ModbusModule module{frame[0]};
    CHECK(module.serve(frame).empty());
    CHECK_FALSE(module.serve(support::with_crc({frame.begin(), frame.end() - 2})).empty());
    // And our client must not take it for anything.
    support::PtyPeer peer{[&](const Bytes&) { return std::vector<support::Burst>{{frame}}; }};
    ModbusLine line{line_on(peer.path(), 300ms)};
    REQUIRE_FALSE(line.open().has_value());
    CHECK(line.read(1, {Table::coil, 0x13, 0x25}).status == ReplyStatus::corrupt);
    ++tried;
  }
  CHECK(tried == 1);
}

TEST_CASE("published frames: no answer with a single wrong byte is taken for the right one",
          "[field][published]") {
  // The CRC finds every error within one byte; the client must therefore never come back with another value.
  // A changed size byte makes it wait for bytes that do not come: silent.
  const Bytes good = published("response", "04");
  support::PtyPeer peer{[](const Bytes&) { return std::vector<support::Burst>{}; }};
  ModbusLine line{line_on(peer.path(), 30ms)};
  REQUIRE_FALSE(line.open().has_value());
  int accepted = 0;
  for (std::size_t at = 0; at < good.size(); ++at) {
    for (const int flip : {0x01, 0x10, 0x80, 0xFF}) {
      Bytes answer = good;
      answer[at] = static_cast<std::uint8_t>(answer[at] ^ flip);
      peer.follow([answer](const Bytes&) { return std::vector<support::Burst>{{answer}}; });
      if (ask(line, "04").status == ReplyStatus::answered) ++accepted;
    }
  }
  CHECK(accepted == 0);
}

TEST_CASE("test module: it answers the published requests with the published responses",
          "[field][published]") {
  support::ModbusModule module{kStation};
  const std::vector<std::uint16_t> coils = bits({0xCD, 0x6B, 0x05}, 19);
  for (int n = 0; n < 19; ++n)
    module.set_bit(1, 0x13 + n, coils[static_cast<std::size_t>(n)] != 0);
  const std::vector<std::uint16_t> inputs = bits({0xAC, 0xDB, 0x35}, 22);
  for (int n = 0; n < 22; ++n)
    module.set_bit(2, 0xC4 + n, inputs[static_cast<std::size_t>(n)] != 0);
  module.set_word(3, 0x6B, 555);
  module.set_word(3, 0x6D, 100);
  module.set_word(4, 8, 10);
  for (const std::string function : {"01", "02", "03", "04", "05", "06"}) {
    INFO("function " << function);
    const auto bursts = module.serve(published("request", function));
    REQUIRE(bursts.size() == 1);
    CHECK(bursts.front().bytes == published("response", function));
  }
  CHECK(module.bit(1, 0xAC));
  CHECK(module.word(3, 1) == 3);
}
