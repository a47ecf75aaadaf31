#include "stillwell/orchard/attendant.hpp"

#include "stillwell/orchard/line_server.hpp"

#include <chrono>
#include <stdexcept>

#include "bench.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::orchard;
using namespace std::chrono_literals;
using namespace support;
using bench::ask;
using plant::FaultKind;
using plant::Part;

namespace {

const Moment kStart{1h};

struct ShedLine {
  Yard yard{bench_plant()};
  config::Wiring wiring = bench::wiring();
  std::unique_ptr<Attendant> attendant = attend_modbus(yard, LineIndex{0}, wiring);
};

struct MastLine {
  explicit MastLine(std::optional<std::uint8_t> ask_byte = {}) {
    std::get<field::FrameFormat>(wiring.gauges[1].source).ask = ask_byte;
    attendant = attend_frames(yard, GaugeIndex{1}, wiring);
  }
  Yard yard{bench_plant()};
  config::Wiring wiring = bench::wiring();
  std::unique_ptr<Attendant> attendant;
};

// Cistern at 50 cm, 1000 mm below the face: start byte, 0x03E8, low byte of the sum.
const Bytes kCisternFrame{0xFF, 0x03, 0xE8, 0xEA};

}  // namespace

TEST_CASE("modbus line: answers after the request's own time on the wire", "[orchard][line]") {
  ShedLine shed;
  CHECK(character_time(shed.wiring.lines[0]) == Duration{11s} / 9600);
  shed.attendant->hear(ask(1, 4, 0, 1), kStart);
  // 8 characters of request and 3.5 of silence, 11 bits each, at 9600 baud.
  const Duration transit{static_cast<std::int64_t>(11.5 * 11.0 / 9600.0 * 1e9)};
  REQUIRE(shed.attendant->next());
  CHECK(*shed.attendant->next() - kStart > transit - 1us);
  CHECK(*shed.attendant->next() - kStart < transit + 1us);
  CHECK_FALSE(shed.attendant->due(kStart + transit - 1ms));
  const auto reply = shed.attendant->due(kStart + transit + 1ms);
  REQUIRE(reply);
  CHECK(ByteView{*reply}.first(5).size() == 5);
  CHECK((*reply)[3] == 0x03);
  CHECK((*reply)[4] == 0xE8);
  CHECK_FALSE(shed.attendant->due(kStart + 1h));
}

TEST_CASE("modbus line: a request in single bytes is one request, two glued ones are two",
          "[orchard][line]") {
  ShedLine shed;
  const Bytes request = ask(1, 4, 0, 1);
  for (const std::uint8_t byte : request)
    shed.attendant->hear(Bytes{byte}, kStart);
  CHECK(shed.attendant->due(kStart + 1s));
  Bytes twice = request;
  twice.insert(twice.end(), request.begin(), request.end());
  shed.attendant->hear(twice, kStart);
  CHECK(shed.attendant->due(kStart + 1s));
  CHECK(shed.attendant->due(kStart + 1s));
  CHECK_FALSE(shed.attendant->due(kStart + 1s));
}

TEST_CASE("modbus line: after a broken request it waits for silence", "[orchard][line]") {
  ShedLine shed;
  Bytes broken = ask(1, 4, 0, 1);
  broken.back() ^= 1U;
  shed.attendant->hear(broken, kStart);
  shed.attendant->hear(ask(1, 4, 0, 1), kStart + 5ms);
  CHECK_FALSE(shed.attendant->due(kStart + 1s));
  shed.attendant->hear({}, kStart + 100ms);
  shed.attendant->hear(ask(1, 4, 0, 1), kStart + 101ms);
  CHECK(shed.attendant->due(kStart + 1s));
}

TEST_CASE("modbus line: a torn request is forgotten, an unknown function answered after silence",
          "[orchard][line]") {
  ShedLine shed;
  shed.attendant->hear(Bytes{1, 4, 0}, kStart);
  shed.attendant->hear({}, kStart + 100ms);
  shed.attendant->hear(frame_of(1, Bytes{0x2B, 0x0E}), kStart + 101ms);
  CHECK_FALSE(shed.attendant->next());
  shed.attendant->hear({}, kStart + 200ms);
  CHECK(shed.attendant->due(kStart + 1s) == frame_of(1, Bytes{0xAB, 0x01}));
}

TEST_CASE("modbus line: a station that is not there says nothing", "[orchard][line]") {
  ShedLine shed;
  shed.attendant->hear(ask(77, 4, 0, 1), kStart);
  CHECK_FALSE(shed.attendant->next());
}

TEST_CASE("modbus line: a late station does not hold up a punctual one", "[orchard][line]") {
  ShedLine shed;
  shed.yard.with([](plant::Plant& plant) {
    plant.order({{Part::gauge, 0}, FaultKind::late, Duration{700ms}, plant.now(), {}});
  });
  shed.attendant->hear(ask(1, 4, 0, 1), kStart);
  shed.attendant->hear(ask(5, 4, 0, 1), kStart + 400ms);
  const auto first = shed.attendant->due(kStart + 500ms);
  REQUIRE(first);
  CHECK((*first)[0] == 5);
  CHECK_FALSE(shed.attendant->due(kStart + 500ms));
  CHECK(shed.attendant->due(kStart + 800ms));
}

TEST_CASE("modbus line: a flood of requests is answered within a bound", "[orchard][line]") {
  ShedLine shed;
  for (int i = 0; i < 1000; ++i)
    shed.attendant->hear(ask(1, 4, 0, 1), kStart);
  int replies = 0;
  while (shed.attendant->due(kStart + 1h))
    ++replies;
  CHECK(replies == 16);
}

TEST_CASE("frame line: a free-running sensor speaks by itself, twice in its period", "[orchard][line]") {
  MastLine mast;
  REQUIRE(mast.attendant->due(kStart) == kCisternFrame);
  CHECK_FALSE(mast.attendant->due(kStart + 400ms));
  CHECK(mast.attendant->next() == kStart + 500ms);
  CHECK(mast.attendant->due(kStart + 500ms) == kCisternFrame);
}

TEST_CASE("frame line: a sensor speaks in the format that its line is configured for", "[orchard][line]") {
  MastLine mast;
  auto& format = std::get<field::FrameFormat>(mast.wiring.gauges[1].source);
  format.lead = 1;
  format.value = field::FrameValue::u24be;
  format.sum = field::FrameSum::exclusive_or;
  mast.attendant = attend_frames(mast.yard, GaugeIndex{1}, mast.wiring);
  CHECK(mast.attendant->due(kStart) == Bytes{0xFF, 0x00, 0x00, 0x03, 0xE8, 0x14});  // FF ^ 03 ^ E8
}

TEST_CASE("frame line: an asked sensor speaks only when asked", "[orchard][line]") {
  MastLine mast{0x55};
  CHECK_FALSE(mast.attendant->due(kStart));
  mast.attendant->hear(Bytes{0x54}, kStart);
  CHECK_FALSE(mast.attendant->next());
  mast.attendant->hear(Bytes{0x55}, kStart);
  CHECK(mast.attendant->due(kStart + 20ms) == kCisternFrame);
  CHECK_FALSE(mast.attendant->due(kStart + 1s));
}

TEST_CASE("frame line: bad sum, silence and garbage to order", "[orchard][line][fault]") {
  MastLine mast;
  const auto order = [&](FaultKind kind) {
    mast.yard.with([&](plant::Plant& plant) {
      plant.clear({Part::gauge, 1});
      plant.order({{Part::gauge, 1}, kind, {}, plant.now(), {}});
    });
  };
  order(FaultKind::bad_sum);
  const auto bad = mast.attendant->due(kStart);
  REQUIRE(bad);
  CHECK(ByteView{*bad}.first(3).size() == 3);
  CHECK((*bad)[3] != kCisternFrame[3]);
  order(FaultKind::garbage);
  CHECK(mast.attendant->due(kStart + 1s) != kCisternFrame);
  order(FaultKind::silence);
  CHECK_FALSE(mast.attendant->due(kStart + 2s));
}

TEST_CASE("line: one behind a gateway is refused, because the orchard has serial ports only",
          "[orchard][line]") {
  Yard yard{bench_plant()};
  config::Wiring wiring = bench::wiring();
  wiring.lines[0].tcp = config::TcpAddress{.host = "127.0.0.1"};
  std::string said;
  try {
    const LineServer server{yard, LineIndex{0}, wiring};
  } catch (const std::runtime_error& refusal) {
    said = refusal.what();
  }
  CHECK(said.find("shed") != std::string::npos);
  CHECK(said.find("serial ports only") != std::string::npos);
}
