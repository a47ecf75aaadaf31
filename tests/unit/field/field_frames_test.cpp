// A range sensor that writes frames, through the whole field: real bytes over a real pty.

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/field/frames/encoder.hpp"

#include <filesystem>
#include <memory>

#include "support/catch.hpp"
#include "support/field_bench.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using support::Burst;
using support::Bytes;
using support::eventually;
using Bursts = std::vector<Burst>;

namespace {

FrameFormat binary() {
  FrameFormat format;
  format.unit = Metres{0.001};
  return format;
}

config::Wiring wiring_on(const std::string& port, const FrameFormat& format, Duration every) {
  config::Wiring wiring;
  wiring.lines = {support::bench_line(port, 1s)};
  wiring.lines[0].speed = 9600;
  wiring.lines[0].carries = config::Carries::range_frames;
  wiring.gauges = {{.line = {0}, .every = every, .source = format}};
  wiring.scan = 1s;
  return wiring;
}

Bytes frame(const FrameFormat& format, double metres) {
  const auto bytes = encode(format, Metres{metres});
  REQUIRE(bytes.ok());
  return *bytes;
}

std::optional<double> value(const Field& field, std::size_t gauge = 0) {
  const auto sample = field.latest().gauges.at(gauge);
  if (!sample.value) return std::nullopt;
  return sample.value->value();
}

Bursts nothing(const Bytes&) {
  return {};
}

}  // namespace

TEST_CASE("frame line: every frame of a free-running sensor is a reading", "[field][framing]") {
  support::PtyPeer peer{nothing, 1};
  Field field{wiring_on(peer.path(), binary(), 10s), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  for (const double metres : {1.953, 1.952, 0.0}) {
    CHECK(eventually([&] {
      peer.send(frame(binary(), metres));
      return value(field) == Approx(metres);
    }));
  }
  CHECK(peer.requests().empty());  // it was never asked
}

TEST_CASE("frame line: garbage, cut frames and wrong sums cost no good frame", "[field][framing]") {
  support::PtyPeer peer{nothing, 1};
  Field field{wiring_on(peer.path(), binary(), 10s), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  CHECK(eventually([&] {
    peer.send({0x00, 0xFF, 0x12, 0xFF, 0x07, 0xA1, 0x00});
    peer.send(frame(binary(), 1.5));
    return value(field) == Approx(1.5);
  }));
}

TEST_CASE("frame line: text lines are read", "[field][framing]") {
  FrameFormat format;
  format.kind = FrameKind::text;
  format.pattern = R"(R(\d{4}))";
  format.unit = Metres{0.001};
  support::PtyPeer peer{nothing, 1};
  Field field{wiring_on(peer.path(), format, 10s), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  CHECK(eventually([&] {
    peer.send(frame(format, 1.953));
    return value(field) == Approx(1.953);
  }));
}

TEST_CASE("frame line: a frame with a check of two bytes and bytes around its value is read",
          "[field][framing]") {
  FrameFormat format = binary();
  format.value = FrameValue::u24le;
  format.sum = FrameSum::crc_16;
  format.lead = 2;
  format.trail = 1;
  support::PtyPeer peer{nothing, 1};
  Field field{wiring_on(peer.path(), format, 10s), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  CHECK(eventually([&] {
    peer.send({0x00, 0xFF, 0x12});
    peer.send(frame(format, 123.456));
    return value(field) == Approx(123.456);
  }));
}

TEST_CASE("frame line: a sensor that wants to be asked is asked", "[field][framing]") {
  FrameFormat format = binary();
  format.ask = 0x55;
  const Bytes answer = frame(binary(), 1.234);
  support::PtyPeer peer{[&](const Bytes&) { return Bursts{{answer}}; }, 1};
  Field field{wiring_on(peer.path(), format, 50ms), {}};
  field.start();
  CHECK(eventually([&] { return value(field) == Approx(1.234); }));
  CHECK(eventually([&] { return peer.requests().size() >= 5; }));
  for (const Bytes& asked : peer.requests())
    CHECK(asked == Bytes{0x55});
}

TEST_CASE("frame line: nothing at all is no answer, bytes without a frame are a bad frame",
          "[field][framing]") {
  support::PtyPeer peer{nothing, 1};
  Field field{wiring_on(peer.path(), binary(), 100ms), {}};
  field.start();
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(eventually([&] {
    peer.send({0xFF, 0x07, 0xA1, 0x00});
    return field.latest().gauges.at(0).fault == Reason::bad_frame;
  }));
  CHECK(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(field.latest().lines.at(0).open);
  CHECK(field.latest().lines.at(0).failed >= 3);
  CHECK(eventually([&] {
    peer.send(frame(binary(), 1.5));
    return value(field) == Approx(1.5);
  }));
}

TEST_CASE("frame line: a second gauge on the line is not given the first one's readings",
          "[field][framing]") {
  support::PtyPeer peer{nothing, 1};
  config::Wiring wiring = wiring_on(peer.path(), binary(), 10s);
  wiring.gauges.push_back(wiring.gauges.front());
  Field field{wiring, {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  REQUIRE(eventually([&] {
    peer.send(frame(binary(), 1.5));
    return value(field, 0).has_value();
  }));
  CHECK_FALSE(value(field, 1).has_value());
}

TEST_CASE("frame line: an unplugged sensor fails at once, and recovers by itself when plugged in",
          "[field][framing]") {
  const support::TemporaryDirectory directory;
  const std::string port = directory.file("mast");
  auto peer = std::make_unique<support::PtyPeer>(nothing, 1);
  std::filesystem::create_symlink(peer->path(), port);
  Field field{wiring_on(port, binary(), 10s), {}};
  field.start();
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  REQUIRE(eventually([&] {
    peer->send(frame(binary(), 1.5));
    return value(field) == Approx(1.5);
  }));
  peer->send({0xFF, 0x07});  // it is unplugged in the middle of a frame
  peer.reset();
  std::filesystem::remove(port);
  REQUIRE(eventually([&] { return field.latest().gauges.at(0).fault == Reason::no_answer; }));
  CHECK(eventually([&] { return !field.latest().lines.at(0).open; }));

  peer = std::make_unique<support::PtyPeer>(nothing, 1);
  std::filesystem::create_symlink(peer->path(), port);
  REQUIRE(eventually([&] { return field.latest().lines.at(0).open; }));
  CHECK(eventually([&] {
    peer->send(frame(binary(), 1.4));
    return value(field) == Approx(1.4);
  }));
}
