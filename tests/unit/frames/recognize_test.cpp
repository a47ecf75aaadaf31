// What talks on a line, from bytes alone: frames that our encoder writes as their sensors would, and bytes
// that are nothing.

#include "stillwell/field/frames/recognize.hpp"

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/encoder.hpp"
#include "stillwell/field/frames/recognize_text.hpp"

#include <array>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/modbus_module.hpp"

using namespace stillwell;
using namespace stillwell::field;

namespace {

using support::Bytes;

Bytes bytes_of(std::string_view text) {
  return {text.begin(), text.end()};
}

/// A sensor of this format over water that moves by a millimetre or two.
Bytes stream_of(const FrameFormat& format, std::size_t frames, int from, support::Dice& dice) {
  Bytes stream;
  for (std::size_t n = 0; n < frames; ++n) {
    const auto frame = encode(format, Metres{0.001 * (from + dice.roll(3))});
    REQUIRE(frame);
    stream.insert(stream.end(), frame->begin(), frame->end());
  }
  return stream;
}

FrameFormat format_of(std::uint8_t start, FrameValue value, FrameSum sum, int lead = 0, int trail = 0) {
  FrameFormat format;
  format.start = start;
  format.value = value;
  format.sum = sum;
  format.lead = lead;
  format.trail = trail;
  format.unit = Metres{0.001};
  return format;
}

}  // namespace

TEST_CASE("recognize: four bytes with the low byte of their sum, cut anywhere", "[frames][search]") {
  support::Dice dice{1};
  const auto format = format_of(0xFF, FrameValue::u16be, FrameSum::low_byte);
  const Bytes stream = stream_of(format, 12, 1953, dice);
  for (std::ptrdiff_t cut = 0; cut < 4; ++cut) {
    const Heard heard = recognize(Bytes{stream.begin() + cut, stream.end() - cut});
    INFO("cut " << cut);
    REQUIRE(heard.kind == HeardKind::binary);
    CHECK(heard.format->start == 0xFF);
    CHECK(heard.format->value == FrameValue::u16be);
    CHECK(heard.format->sum == FrameSum::low_byte);
    CHECK(heard.format->lead == 0);
    CHECK(heard.format->trail == 0);
    CHECK(heard.counts.size() >= 10);
    for (const auto count : heard.counts)
      CHECK((count >= 1953 && count <= 1955));
  }
}

TEST_CASE("recognize: what it proposes reads every frame of the sensor", "[frames][search][property]") {
  const std::uint64_t seed = support::seed_or(4100);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const std::array values{FrameValue::u16be, FrameValue::u16le, FrameValue::u24be, FrameValue::u32be};
  const std::array sums{FrameSum::low_byte, FrameSum::exclusive_or, FrameSum::crc_16};
  const std::array<std::uint8_t, 4> starts{0xFF, 0x54, 0x59, 0xA5};
  for (int round = 0; round < 100; ++round) {
    const auto format = format_of(
        starts.at(static_cast<std::size_t>(dice.roll(4))), values.at(static_cast<std::size_t>(dice.roll(4))),
        sums.at(static_cast<std::size_t>(dice.roll(3))), dice.roll(2), dice.roll(2));
    const Bytes stream = stream_of(format, 20, 600 + dice.roll(3000), dice);
    INFO("start " << int{format.start} << " value " << static_cast<int>(format.value) << " sum "
                  << static_cast<int>(format.sum) << " lead " << format.lead << " trail " << format.trail);
    const Heard heard = recognize(stream);
    REQUIRE(heard.kind == HeardKind::binary);
    CHECK(binary_frame_size(*heard.format) == binary_frame_size(format));
    CHECK(heard.format->start == format.start);
    auto decoder = FrameDecoder::make(*heard.format);
    REQUIRE(decoder);
    FrameDecoder reader = *decoder;
    CHECK(reader.feed(stream).size() == 20);
  }
}

TEST_CASE("recognize: bytes of chance are noise, however many", "[frames][search][property]") {
  const std::uint64_t seed = support::seed_or(4200);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 60; ++round) {
    Bytes noise;
    for (int n = 0; n <= dice.roll(600); ++n)
      noise.push_back(static_cast<std::uint8_t>(dice.roll(256)));
    const Heard heard = recognize(noise);
    CHECK(heard.kind == HeardKind::noise);
    CHECK(heard.bytes == noise.size());
    CHECK_FALSE(heard.sample.empty());
  }
}

TEST_CASE("recognize: a line that is stuck at one byte is noise, though its sums fit", "[frames][search]") {
  for (const std::uint8_t byte : {std::uint8_t{0x00}, std::uint8_t{0xFF}})
    CHECK(recognize(Bytes(400, byte)).kind == HeardKind::noise);
  CHECK(recognize({}).kind == HeardKind::nothing);
}

TEST_CASE("recognize: two frames are chance, three are a sensor", "[frames][search]") {
  support::Dice dice{2};
  const auto format = format_of(0xFF, FrameValue::u16be, FrameSum::low_byte);
  CHECK(recognize(stream_of(format, 2, 1953, dice)).kind == HeardKind::noise);
  CHECK(recognize(stream_of(format, 3, 1953, dice)).kind == HeardKind::binary);
}

TEST_CASE("recognize: lines of text give the pattern that reads them", "[frames][search]") {
  const auto heard = recognize(bytes_of("53\r\nR0953\r\nR0954\r\nR1002\r\nR10"));
  REQUIRE(heard.kind == HeardKind::text);
  CHECK(heard.format->pattern == R"(R(\d{4}))");
  CHECK(heard.counts == std::vector<std::uint32_t>{953, 954, 1002});
  CHECK(heard.sample == "R0953");
}

TEST_CASE("recognize: a pattern is what the lines have in common", "[frames][search]") {
  const auto pattern = [](const std::vector<std::string>& lines) {
    return pattern_of(lines).value_or("none");
  };
  CHECK(pattern({"gap: 953mm", "gap: 1001mm", "gap: 954mm"}) == R"(gap: (\d+)mm)");
  CHECK(pattern({"T21 D953", "T21 D954", "T21 D955"}) == R"(T21 D(\d+))");
  CHECK(pattern({"D=953 (ok)", "D=954 (ok)", "D=954 (ok)"}) == R"(D=(\d+) \(ok\))");
  CHECK(pattern({"953", "953", "953"}) == R"((\d+))");
  CHECK(pattern({"1.953 m", "1.954 m", "2.001 m"}) == "none");  // counts are whole
  CHECK(pattern({"hello", "hello", "hello"}) == "none");
  CHECK(pattern({"R953", "R954", "error", "R955", "R956", "R957"}) == R"(R(\d+))");
}

TEST_CASE("recognize: text without such a number is told as text", "[frames][search]") {
  const auto heard = recognize(bytes_of("\n1.953 m\n1.954 m\n1.955 m\n"));
  CHECK(heard.kind == HeardKind::prose);
  CHECK_FALSE(heard.format);
  CHECK(heard.sample == "1.953 m");
}

TEST_CASE("recognize: another client that asks is neither a sensor nor noise", "[frames][search]") {
  Bytes traffic;
  for (int n = 0; n < 6; ++n)
    for (const char* hex : {"0B 03 00 00 00 01", "0B 03 02 07 A1", "0B 04 00 02 00 01", "0B 04 02 00 D7"}) {
      const Bytes frame = support::with_crc(support::from_hex(hex));
      traffic.insert(traffic.end(), frame.begin(), frame.end());
    }
  CHECK(recognize(traffic).kind == HeardKind::traffic);
}

TEST_CASE("recognize: the number that moves is taken, not the half of it that stands", "[frames][search]") {
  support::Dice dice{3};
  for (const FrameValue value : {FrameValue::u24be, FrameValue::u32be, FrameValue::u16le}) {
    const auto format = format_of(0xA5, value, FrameSum::crc_16);
    const Heard heard = recognize(stream_of(format, 20, 1953, dice));
    REQUIRE(heard.kind == HeardKind::binary);
    CHECK(heard.counts.front() >= 1953);
    CHECK(heard.counts.front() <= 1955);
  }
}
