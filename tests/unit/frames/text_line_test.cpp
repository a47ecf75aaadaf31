// Text range frames: one line a reading, "R1953" and the like (common practice of free-running range
// sensors).

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/encoder.hpp"

#include <random>
#include <string>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;

namespace {

FrameFormat lines(const std::string& pattern) {
  FrameFormat format;
  format.kind = FrameKind::text;
  format.pattern = pattern;
  format.unit = Metres{0.001};
  return format;
}

FrameDecoder decoder(const std::string& pattern) {
  const auto made = FrameDecoder::make(lines(pattern));
  REQUIRE(made.ok());
  return *made;
}

std::vector<double> feed(FrameDecoder& into, const std::string& text) {
  const std::vector<std::uint8_t> bytes{text.begin(), text.end()};
  std::vector<double> plain;
  for (const Metres reading : into.feed(bytes))
    plain.push_back(reading.value());
  return plain;
}

struct Row {
  std::string legend;
  std::string pattern;
  std::string text;
  std::vector<double> readings;
  std::uint64_t bad_frames;
  std::uint64_t skipped;
};

const std::string kLong(100, 'x');

const std::vector<Row> kRows{
    {"a good line, CR", R"(R(\d{4}))", "R1953\r", {1.953}, 0, 0},
    {"a good line, LF", R"(R(\d{4}))", "R1953\n", {1.953}, 0, 0},
    {"a good line, CR LF", R"(R(\d{4}))", "R1953\r\n", {1.953}, 0, 0},
    {"zero is a reading like any other", R"(R(\d{4}))", "R0000\r", {0.0}, 0, 0},
    {"any number of digits", R"(R(\d+)mm)", "R7mm\nR19530mm\n", {0.007, 19.53}, 0, 0},
    {"characters that mean something elsewhere", R"(\(d=(\d+)\.\))", "(d=12.)\n", {0.012}, 0, 0},
    {"junk before", R"(R(\d{4}))", "\x01\xFFzzR1953\r", {1.953}, 0, 4},
    {"a good line inside a cut one", R"(R(\d{4}))", "R19R0255\r", {0.255}, 0, 3},
    {"a letter among the digits", R"(R(\d{4}))", "R19x3\r", {}, 1, 5},
    {"a digit too few", R"(R(\d{4}))", "R195\r", {}, 1, 4},
    {"a digit too many", R"(R(\d{4}))", "R19530\r", {}, 1, 6},
    {"more digits than a count holds", R"(R(\d+))", "R4294967296\r", {}, 1, 11},
    {"two lines glued without a line end", R"(R(\d{4}))", "R1953R0255\r", {0.255}, 0, 5},
    {"two lines glued", R"(R(\d{4}))", "R1953\rR0255\r", {1.953, 0.255}, 0, 0},
    {"a line that never ends, then a good one", R"(R(\d{4}))", kLong + "R1953\r", {1.953}, 0, 100},
    {"bare digits: the first line may be half heard", R"((\d+))", "53\n1953\n", {1.953}, 1, 2},
    {"bare digits: no tail of a damaged line", R"((\d+))", "\n1x53\n1953\n", {1.953}, 1, 4},
    {"bare digits: no tail of an endless line", R"((\d+))", "\n" + kLong + "53\n", {}, 1, 102},
    {"half a line", R"(R(\d{4}))", "R19", {}, 0, 0},
};

}  // namespace

TEST_CASE("text line: each row of the table is read as it says, wherever it is cut", "[frames][table]") {
  for (const Row& row : kRows) {
    for (std::size_t cut = 0; cut <= row.text.size(); ++cut) {
      INFO(row.legend << ", cut after byte " << cut);
      FrameDecoder halves = decoder(row.pattern);
      auto readings = feed(halves, row.text.substr(0, cut));
      for (const double reading : feed(halves, row.text.substr(cut)))
        readings.push_back(reading);
      CHECK(readings == row.readings);
      CHECK(halves.counters().frames == row.readings.size());
      CHECK(halves.counters().bad_frames == row.bad_frames);
      CHECK(halves.counters().skipped == row.skipped);
    }
  }
}

TEST_CASE("text line: a wrong byte passes only where a line has no sum to tell", "[frames][corruption]") {
  // Of the 6 x 255 corruptions of "R1953\r" only a digit changed into another digit can pass: 4 x 9 = 36. All
  // the rest give no reading, or the right one (the CR changed into the LF: 1).
  const std::string good = "R1953\r";
  int tried = 0;
  int another = 0;
  int same = 0;
  for (std::size_t at = 0; at < good.size(); ++at) {
    for (int flip = 1; flip < 256; ++flip, ++tried) {
      std::string bad = good;
      bad[at] = static_cast<char>(static_cast<unsigned char>(bad[at]) ^ flip);
      FrameDecoder fresh = decoder(R"(R(\d{4}))");
      const auto readings = feed(fresh, bad);
      if (readings == std::vector<double>{1.953})
        ++same;
      else if (!readings.empty())
        ++another;
    }
  }
  CHECK(tried == 1530);
  CHECK(another == 36);
  CHECK(same == 1);
}

TEST_CASE("text line: what is encoded is decoded", "[frames][identity]") {
  for (const std::string pattern : {R"(R(\d{4}))", R"(R(\d+))", R"(a1(\d{9})z9)", R"((\d+) mm)"}) {
    INFO(pattern);
    FrameDecoder back = decoder(pattern);
    feed(back, "\n");  // a pattern of bare digits trusts what follows a line end
    for (const int count : {0, 1, 9, 10, 255, 1953, 9999}) {
      const Metres reading = Metres{0.001} * count;
      const auto line = encode(lines(pattern), reading);
      REQUIRE(line.ok());
      CHECK(back.feed(*line) == std::vector<Metres>{reading});
    }
  }
}

TEST_CASE("text line: a reading with too many digits is not encoded", "[frames][limits]") {
  CHECK(encode(lines(R"(R(\d{4}))"), Metres{9.999}).ok());
  CHECK_FALSE(encode(lines(R"(R(\d{4}))"), Metres{10.0}).ok());
  CHECK(encode(lines(R"(R(\d+))"), Metres{999999.999}).ok());
  CHECK_FALSE(encode(lines(R"(R(\d+))"), Metres{1000000.0}).ok());
}

TEST_CASE("pattern: what is not understood is refused with its place", "[frames][pattern]") {
  struct Wrong {
    std::string pattern;
    std::string says;
  };
  const std::vector<Wrong> wrong{
      {"", "no group"},
      {"R", "no group"},
      {R"(R(\d{0}))", "character 2"},
      {R"(R(\d{10}))", "character 2"},
      {R"(R(\d{4))", "character 2"},
      {R"(R(\d*))", "character 2"},
      {R"(R(\d+)(\d+))", "second group"},
      {R"(R.(\d+))", "character 2"},
      {R"(R\d(\d+))", "character 2"},
      {"R(\\d+)\t", "character 7"},
      {std::string(60, 'x') + R"((\d+))", "64 bytes"},
  };
  for (const Wrong& row : wrong) {
    INFO(row.pattern);
    const auto made = LinePattern::make(row.pattern);
    REQUIRE_FALSE(made.ok());
    CHECK(made.error().find(row.says) != std::string::npos);
    CHECK_FALSE(FrameDecoder::make(lines(row.pattern)).ok());
    CHECK_FALSE(encode(lines(row.pattern), Metres{1.0}).ok());
  }
}

TEST_CASE("text line: random bytes never exceed the buffer and are all accounted for", "[frames][property]") {
  const unsigned seed = std::random_device{}();
  INFO("seed " << seed);
  std::mt19937 random{seed};
  const std::string alphabet = "R0123456789\rx\xFF";
  std::uniform_int_distribution<std::size_t> pick{0, alphabet.size() - 1};
  FrameDecoder hardened = decoder(R"(R(\d{2}))");
  std::uint64_t ends = 0;
  constexpr std::uint64_t kBytes = 200'000;
  for (std::uint64_t n = 0; n < kBytes; ++n) {
    const std::string byte(1, alphabet[pick(random)]);
    if (byte == "\r") ++ends;
    feed(hardened, byte);
  }
  const auto& told = hardened.counters();
  CHECK(told.frames > 0);
  CHECK(told.frames * 3 + told.skipped + ends <= kBytes);
  CHECK(kBytes - (told.frames * 3 + told.skipped + ends) <= kLongestLine);
}
