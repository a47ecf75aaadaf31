// Every binary format that the configuration can name: values of all widths, every sum, bytes that are passed
// over. Expected bytes were written by hand from the definition of each format; the check values of the CRC
// are published ones.

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/encoder.hpp"
#include "stillwell/field/frames/layout.hpp"

#include <limits>
#include <random>
#include <string>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;

namespace {

using Bytes = std::vector<std::uint8_t>;

constexpr std::array kValues{FrameValue::u8,    FrameValue::u16be, FrameValue::u16le, FrameValue::u24be,
                             FrameValue::u24le, FrameValue::u32be, FrameValue::u32le};
constexpr std::array kSums{FrameSum::none, FrameSum::low_byte, FrameSum::exclusive_or, FrameSum::crc_16};

FrameFormat format_of(FrameValue value, FrameSum sum, int lead = 0, int trail = 0) {
  FrameFormat format;
  format.unit = Metres{0.001};
  format.start = 0xAA;
  format.value = value;
  format.sum = sum;
  format.lead = lead;
  format.trail = trail;
  return format;
}

/// Every value with every sum, bare and with bytes around the value.
std::vector<FrameFormat> all_formats() {
  std::vector<FrameFormat> all;
  for (const FrameValue value : kValues) {
    for (const FrameSum sum : kSums) {
      all.push_back(format_of(value, sum));
      all.push_back(format_of(value, sum, 2, 3));
    }
  }
  return all;
}

std::string named(const FrameFormat& format) {
  return "value " + std::to_string(static_cast<int>(format.value)) + ", sum " +
         std::to_string(static_cast<int>(format.sum)) + ", lead " + std::to_string(format.lead);
}

FrameDecoder decoder(const FrameFormat& format) {
  const auto made = FrameDecoder::make(format);
  REQUIRE(made.ok());
  return *made;
}

/// The counts that come out, a count being a millimetre.
std::vector<double> counts(FrameDecoder& into, const Bytes& bytes) {
  std::vector<double> all;
  for (const Metres reading : into.feed(bytes))
    all.push_back(std::round(reading.value() * 1000.0));
  return all;
}

Bytes encoded(const FrameFormat& format, double count) {
  const auto frame = encode(format, format.unit * count);
  REQUIRE(frame.ok());
  return *frame;
}

struct Row {
  std::string legend;
  FrameFormat format;
  double count;
  Bytes bytes;
};

// 0x0102 = 258, 0x010203 = 66051, 0x01020304 = 16909060. AA + 01 + 02 = AD, AA ^ 01 ^ 02 = A9.
const std::vector<Row> kRows{
    {"u8", format_of(FrameValue::u8, FrameSum::low_byte), 7, {0xAA, 0x07, 0xB1}},
    {"u16be", format_of(FrameValue::u16be, FrameSum::low_byte), 258, {0xAA, 0x01, 0x02, 0xAD}},
    {"u16le", format_of(FrameValue::u16le, FrameSum::low_byte), 258, {0xAA, 0x02, 0x01, 0xAD}},
    {"u16be, xor", format_of(FrameValue::u16be, FrameSum::exclusive_or), 258, {0xAA, 0x01, 0x02, 0xA9}},
    {"u24be", format_of(FrameValue::u24be, FrameSum::none), 66051, {0xAA, 0x01, 0x02, 0x03}},
    {"u24le", format_of(FrameValue::u24le, FrameSum::none), 66051, {0xAA, 0x03, 0x02, 0x01}},
    {"u32be", format_of(FrameValue::u32be, FrameSum::none), 16909060, {0xAA, 0x01, 0x02, 0x03, 0x04}},
    {"u32le", format_of(FrameValue::u32le, FrameSum::none), 16909060, {0xAA, 0x04, 0x03, 0x02, 0x01}},
    {"lead and trail are in the sum",
     format_of(FrameValue::u16be, FrameSum::low_byte, 1, 2),
     258,
     {0xAA, 0x00, 0x01, 0x02, 0x00, 0x00, 0xAD}},
    {"the largest u32",
     format_of(FrameValue::u32be, FrameSum::none),
     4294967295.0,
     {0xAA, 0xFF, 0xFF, 0xFF, 0xFF}},
};

}  // namespace

TEST_CASE("frame formats: each is written and read as its definition says", "[frames][table]") {
  for (const Row& row : kRows) {
    INFO(row.legend);
    FrameDecoder fresh = decoder(row.format);
    CHECK(encoded(row.format, row.count) == row.bytes);
    CHECK(counts(fresh, row.bytes) == std::vector<double>{row.count});
    CHECK(binary_frame_size(row.format) == row.bytes.size());
  }
}

TEST_CASE("frame formats: what stands beside the value is passed over, but not past the sum",
          "[frames][table]") {
  FrameDecoder fresh = decoder(format_of(FrameValue::u16be, FrameSum::exclusive_or, 2, 1));
  // AA, two bytes of lead, 0x0102, one of trail: AA ^ 55 ^ 10 ^ 01 ^ 02 ^ 77 = 9B.
  CHECK(counts(fresh, {0xAA, 0x55, 0x10, 0x01, 0x02, 0x77, 0x9B}) == std::vector<double>{258});
  CHECK(counts(fresh, {0xAA, 0x55, 0x11, 0x01, 0x02, 0x77, 0x9B}).empty());
}

TEST_CASE("frame formats: the CRC is the published one of Modbus, low byte first", "[frames][reference]") {
  const std::string digits = "123456789";
  CHECK(check_over(FrameSum::crc_16, Bytes{digits.begin(), digits.end()}) == 0x4B37);
  // "1", then "2345" as the value, "6789" behind it, then 37 4B.
  FrameFormat format = format_of(FrameValue::u32be, FrameSum::crc_16, 0, 4);
  format.start = '1';
  Bytes frame{digits.begin(), digits.end()};
  frame.insert(frame.end(), {0x37, 0x4B});
  FrameDecoder fresh = decoder(format);
  CHECK(counts(fresh, frame) == std::vector<double>{0x32333435});

  const support::Csv published("08_modbus_frames.csv");  // worked example: 02 07 41 12
  int compared = 0;
  for (std::size_t row = 0; row < published.size(); ++row) {
    if (published.at(row, "kind") != "CRC example") continue;
    CHECK(published.at(row, "rtu_frame_hex") == "02 07 41 12");
    FrameFormat worked = format_of(FrameValue::u8, FrameSum::crc_16);
    worked.start = 0x02;
    CHECK(encoded(worked, 0x07) == Bytes{0x02, 0x07, 0x41, 0x12});
    ++compared;
  }
  CHECK(compared == 1);
}

TEST_CASE("frame formats: what is encoded is decoded, up to the largest count and no farther",
          "[frames][identity]") {
  const unsigned seed = std::random_device{}();
  INFO("seed " << seed);
  std::mt19937 random{seed};
  for (const FrameFormat& format : all_formats()) {
    INFO(named(format));
    const std::uint32_t largest = largest_of(format.value);
    std::uniform_int_distribution<std::uint32_t> any{0, largest};
    FrameDecoder back = decoder(format);
    for (int n = 0; n < 200; ++n) {
      const std::uint32_t count = n == 0 ? largest : any(random);
      CHECK(counts(back, encoded(format, count)) == std::vector<double>{static_cast<double>(count)});
    }
    CHECK(back.counters().skipped == 0);
    CHECK_FALSE(encode(format, format.unit * (static_cast<double>(largest) + 1.0)).ok());
  }
}

TEST_CASE("frame formats: with a sum, no single wrong byte makes another reading", "[frames][corruption]") {
  // Each of the sums moves with every change of one byte. Each corrupted frame is followed by silence, and
  // then by good frames, the second of which must come through whatever the first met.
  for (const FrameFormat& format : all_formats()) {
    if (format.sum == FrameSum::none) continue;
    INFO(named(format));
    const Bytes good = encoded(format, 0x35);
    int misread = 0;
    int lost = 0;
    for (std::size_t at = 0; at < good.size(); ++at) {
      for (int flip = 1; flip < 256; ++flip) {
        Bytes bad = good;
        bad[at] = static_cast<std::uint8_t>(bad[at] ^ flip);
        FrameDecoder fresh = decoder(format);
        if (!counts(fresh, bad).empty()) ++misread;
        fresh.feed(good);
        const auto again = counts(fresh, good);
        if (again.empty() || again.back() != 0x35) ++lost;
      }
    }
    CHECK(misread == 0);
    CHECK(lost == 0);
  }
}

TEST_CASE("frame formats: behind any garbage a good frame is heard again", "[frames][property]") {
  const unsigned seed = std::random_device{}();
  INFO("seed " << seed);
  std::mt19937 random{seed};
  std::uniform_int_distribution<int> any{0, 255};
  std::discrete_distribution<int> kind{{1, 2}};  // mostly start bytes: the rescan is what is exercised
  for (const FrameFormat& format : all_formats()) {
    INFO(named(format));
    FrameDecoder hardened = decoder(format);
    std::uint64_t readings = 0;
    constexpr std::uint64_t kBytes = 5000;
    for (std::uint64_t n = 0; n < kBytes; ++n)
      readings +=
          hardened.feed(Bytes{static_cast<std::uint8_t>(kind(random) == 0 ? 0xAA : any(random))}).size();
    const auto& told = hardened.counters();
    CHECK(readings == told.frames);
    const std::uint64_t accounted = told.frames * binary_frame_size(format) + told.skipped;
    CHECK(accounted <= kBytes);
    CHECK(kBytes - accounted < binary_frame_size(format));
    // What garbage left behind may take the first frames with it, or the value may look like a start; a run
    // of frames without a start inside ends that.
    std::vector<double> heard;
    for (int n = 0; n < 40; ++n)
      heard = counts(hardened, encoded(format, 0x35));
    CHECK(heard == std::vector<double>{0x35});
  }
}

TEST_CASE("frame formats: a frame longer than 32 bytes is refused, one of 32 is not", "[frames][limits]") {
  CHECK(FrameDecoder::make(format_of(FrameValue::u16be, FrameSum::crc_16, 20, 7)).ok());
  CHECK_FALSE(FrameDecoder::make(format_of(FrameValue::u16be, FrameSum::crc_16, 20, 8)).ok());
  CHECK_FALSE(FrameDecoder::make(format_of(FrameValue::u16be, FrameSum::crc_16, 28, 0)).ok());
  CHECK_FALSE(FrameDecoder::make(format_of(FrameValue::u16be, FrameSum::none, -1, 0)).ok());
}
