// Binary range frames. The layout checked here (start 0xFF, big-endian millimetres, low byte of the sum) is
// the one many waterproof ultrasonic range sensors share: common practice; the example bytes were summed by
// hand.

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/encoder.hpp"

#include <random>
#include <string>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;

namespace {

using Bytes = std::vector<std::uint8_t>;

FrameFormat millimetres() {
  FrameFormat format;
  format.unit = Metres{0.001};
  return format;
}

FrameDecoder decoder(const FrameFormat& format) {
  const auto made = FrameDecoder::make(format);
  REQUIRE(made.ok());
  return *made;
}

std::vector<double> values(const std::vector<Metres>& readings) {
  std::vector<double> plain;
  plain.reserve(readings.size());
  for (const Metres reading : readings)
    plain.push_back(reading.value());
  return plain;
}

struct Row {
  std::string legend;
  Bytes bytes;
  std::vector<double> readings;
  std::uint64_t bad_frames;
  std::uint64_t skipped;
};

// FF 07 A1: 0x07A1 = 1953 mm, sum 0x1A7 -> A7. FF 00 FF: 255 mm, sum 0x1FE -> FE.
const std::vector<Row> kRows{
    {"a good frame", {0xFF, 0x07, 0xA1, 0xA7}, {1.953}, 0, 0},
    {"zero is a reading like any other", {0xFF, 0x00, 0x00, 0xFF}, {0.0}, 0, 0},
    {"the largest count", {0xFF, 0xFF, 0xFF, 0xFD}, {65.535}, 0, 0},
    {"junk before", {0x12, 0x00, 0x34, 0xFF, 0x07, 0xA1, 0xA7}, {1.953}, 0, 3},
    {"a start byte as junk before", {0xFF, 0xFF, 0x07, 0xA1, 0xA7}, {1.953}, 1, 1},
    {"a value byte that looks like a start", {0xFF, 0x00, 0xFF, 0xFE}, {0.255}, 0, 0},
    {"a wrong sum", {0xFF, 0x07, 0xA1, 0xA8}, {}, 1, 4},
    {"a good frame behind a wrong sum", {0xFF, 0x07, 0xA1, 0xA8, 0xFF, 0x07, 0xA1, 0xA7}, {1.953}, 1, 4},
    {"a good frame inside a cut one", {0xFF, 0x07, 0xFF, 0x07, 0xA1, 0xA7}, {1.953}, 1, 2},
    {"two frames glued", {0xFF, 0x07, 0xA1, 0xA7, 0xFF, 0x00, 0xFF, 0xFE}, {1.953, 0.255}, 0, 0},
    {"half a frame", {0xFF, 0x07, 0xA1}, {}, 0, 0},
    {"nothing", {}, {}, 0, 0},
};

}  // namespace

TEST_CASE("binary frame: each row of the table is read as it says", "[frames][table]") {
  for (const Row& row : kRows) {
    INFO(row.legend);
    FrameDecoder whole = decoder(millimetres());
    CHECK(values(whole.feed(row.bytes)) == row.readings);
    CHECK(whole.counters().frames == row.readings.size());
    CHECK(whole.counters().bad_frames == row.bad_frames);
    CHECK(whole.counters().skipped == row.skipped);
  }
}

TEST_CASE("binary frame: where the stream is cut makes no difference", "[frames][table]") {
  for (const Row& row : kRows) {
    for (std::size_t cut = 0; cut <= row.bytes.size(); ++cut) {
      INFO(row.legend << ", cut after byte " << cut);
      FrameDecoder halves = decoder(millimetres());
      const std::span<const std::uint8_t> all{row.bytes};
      auto readings = values(halves.feed(all.first(cut)));
      for (const double reading : values(halves.feed(all.subspan(cut))))
        readings.push_back(reading);
      CHECK(readings == row.readings);
      CHECK(halves.counters().skipped == row.skipped);
    }
  }
}

TEST_CASE("binary frame: little-endian and sumless formats are read", "[frames][table]") {
  FrameFormat little = millimetres();
  little.value = FrameValue::u16le;
  CHECK(values(decoder(little).feed(Bytes{0xFF, 0xA1, 0x07, 0xA7})) == std::vector<double>{1.953});

  FrameFormat bare = millimetres();
  bare.sum = FrameSum::none;
  bare.start = 0x5A;
  CHECK(values(decoder(bare).feed(Bytes{0x00, 0x5A, 0x07, 0xA1, 0x5A, 0x00, 0xFF})) ==
        std::vector<double>{1.953, 0.255});
}

TEST_CASE("binary frame: no single wrong byte turns one reading into another", "[frames][corruption]") {
  // The sum of a frame moves with every change of one byte, by the change itself, which is never 0 modulo
  // 256. All 4 x 255 corruptions are tried; a good frame that follows must come through each of them.
  const Bytes good{0xFF, 0x07, 0xA1, 0xA7};
  int tried = 0;
  int misread = 0;
  for (std::size_t at = 0; at < good.size(); ++at) {
    for (int flip = 1; flip < 256; ++flip, ++tried) {
      Bytes stream = good;
      stream[at] = static_cast<std::uint8_t>(stream[at] ^ flip);
      stream.insert(stream.end(), good.begin(), good.end());
      if (values(decoder(millimetres()).feed(stream)) != std::vector<double>{1.953}) ++misread;
    }
  }
  CHECK(tried == 1020);
  CHECK(misread == 0);
}

TEST_CASE("binary frame: what is encoded is decoded, for every count", "[frames][identity]") {
  for (const auto value : {FrameValue::u16be, FrameValue::u16le}) {
    for (const auto sum : {FrameSum::none, FrameSum::low_byte}) {
      FrameFormat format = millimetres();
      format.value = value;
      format.sum = sum;
      FrameDecoder back = decoder(format);
      int wrong = 0;
      for (int count = 0; count <= 0xFFFF; ++count) {
        const Metres reading = format.unit * count;
        const auto frame = encode(format, reading);
        if (!frame || back.feed(*frame) != std::vector<Metres>{reading}) ++wrong;
      }
      CHECK(wrong == 0);
      CHECK(back.counters().skipped == 0);
    }
  }
}

TEST_CASE("binary frame: a reading that does not fit is not encoded", "[frames][limits]") {
  const FrameFormat format = millimetres();
  CHECK(encode(format, Metres{65.535}).ok());
  CHECK_FALSE(encode(format, Metres{65.536}).ok());
  CHECK_FALSE(encode(format, Metres{-0.001}).ok());
  CHECK_FALSE(encode(format, Metres{std::numeric_limits<double>::quiet_NaN()}).ok());
}

TEST_CASE("binary frame: a unit that is not positive is refused", "[frames][limits]") {
  FrameFormat format = millimetres();
  for (const double unit : {0.0, -0.001, std::numeric_limits<double>::quiet_NaN()}) {
    format.unit = Metres{unit};
    CHECK_FALSE(FrameDecoder::make(format).ok());
  }
}

TEST_CASE("binary frame: random bytes are all accounted for", "[frames][property]") {
  const unsigned seed = std::random_device{}();
  INFO("seed " << seed);
  std::mt19937 random{seed};
  // Mostly start bytes, so that the rescan is what is exercised.
  std::discrete_distribution<int> kind{{1, 2}};
  std::uniform_int_distribution<int> any{0, 255};
  FrameDecoder hardened = decoder(millimetres());
  std::uint64_t readings = 0;
  constexpr std::uint64_t kBytes = 200'000;
  for (std::uint64_t n = 0; n < kBytes; ++n) {
    const Bytes byte{static_cast<std::uint8_t>(kind(random) == 0 ? 0xFF : any(random))};
    readings += hardened.feed(byte).size();
  }
  CHECK(readings == hardened.counters().frames);
  const std::uint64_t told = hardened.counters().frames * 4 + hardened.counters().skipped;
  CHECK(told <= kBytes);
  CHECK(kBytes - told < 4);  // what is still held is less than a frame
}
