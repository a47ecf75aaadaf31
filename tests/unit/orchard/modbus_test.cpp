// Outside checks: tests/reference/08_modbus_frames.csv and 08_modbus_rules.csv (their source columns name the
// MODBUS specifications and the public documents that the rows come from).

#include "stillwell/orchard/modbus.hpp"

#include <deque>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::orchard;
using config::Table;
using support::Csv;

namespace {

constexpr std::uint8_t kStation = 0x11;  // of the table's frames

Bytes from_hex(const std::string& text) {
  Bytes bytes;
  for (std::size_t at = 0; at + 1 < text.size(); at += 3) {
    bytes.push_back(static_cast<std::uint8_t>(std::stoul(text.substr(at, 2), nullptr, 16)));
  }
  return bytes;
}

/// Registers from `first` on, which is all there is.
class Words : public Registers {
 public:
  Words(Table table, int first, std::vector<std::uint16_t> words)
      : table_{table}, first_{first}, words_{std::move(words)} {}

  std::optional<std::vector<std::uint16_t>> read(Table table, int first, int count) override {
    const int end = first_ + static_cast<int>(words_.size());
    if (table != table_ || first < first_ || first + count > end) return std::nullopt;
    return std::vector(words_.begin() + (first - first_), words_.begin() + (first - first_ + count));
  }
  Written write(Table table, int address, std::uint16_t value) override {
    const auto at = static_cast<std::size_t>(address - first_);
    if (table != table_ || address < first_ || at >= words_.size()) return Written::absent;
    words_[at] = value;
    return Written::done;
  }
  [[nodiscard]] std::uint16_t at(int address) const {
    return words_.at(static_cast<std::size_t>(address - first_));
  }

 private:
  Table table_;
  int first_;
  std::vector<std::uint16_t> words_;
};

/// Bits as the table's notes give them: bytes, lowest coil in the lowest bit.
std::vector<std::uint16_t> bits(const Bytes& bytes, std::size_t count) {
  std::vector<std::uint16_t> all;
  for (std::size_t i = 0; i < count; ++i)
    all.push_back((bytes[i / 8] >> (i % 8)) & 1U);
  return all;
}

Bytes reply_to(const Bytes& frame, Registers& registers) {
  const ByteView view{frame};
  const auto pdu = answer(view.subspan(1, view.size() - 3), registers);
  return pdu ? frame_of(frame[0], *pdu) : Bytes{};
}

/// The frame of the row of that kind and function code.
Bytes published(const Csv& csv, const std::string& kind, const std::string& code) {
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "kind") == kind && csv.at(row, "function_code_hex") == code) {
      return from_hex(csv.at(row, "rtu_frame_hex"));
    }
  }
  throw std::runtime_error{"no " + kind + " of function " + code};
}

Bytes published_exception(const Csv& csv, const std::string& function, const std::string& code) {
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "description") == "unit 0x11, function " + function + ", exception " + code) {
      return from_hex(csv.at(row, "rtu_frame_hex"));
    }
  }
  throw std::runtime_error{"no exception " + code + " of function " + function};
}

Bytes request(std::uint8_t function, int address, int value) {
  const auto high = [](int word) { return static_cast<std::uint8_t>(word >> 8); };
  const auto low = [](int word) { return static_cast<std::uint8_t>(word & 0xFF); };
  return frame_of(kStation, Bytes{function, high(address), low(address), high(value), low(value)});
}

}  // namespace

TEST_CASE("modbus server: the check sum is the published one", "[orchard][modbus][reference]") {
  const std::string digits = "123456789";
  CHECK(crc_of(Bytes{digits.begin(), digits.end()}) == 0x4B37);         // row "CRC catalogue"
  CHECK(frame_of(0x02, Bytes{0x07}) == Bytes{0x02, 0x07, 0x41, 0x12});  // row "CRC example"
}

TEST_CASE("modbus server: every published frame is intact, the misprinted one is not",
          "[orchard][modbus][reference]") {
  const Csv csv{"08_modbus_frames.csv"};
  int intact = 0;
  int corrupt = 0;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    const Bytes frame = from_hex(csv.at(row, "rtu_frame_hex"));
    if (frame.empty()) continue;
    const bool wrong = csv.at(row, "kind") == "RTU frame with WRONG CRC";
    INFO(csv.at(row, "kind") << ": " << csv.at(row, "rtu_frame_hex"));
    CHECK(is_intact(frame) != wrong);
    (wrong ? corrupt : intact) += 1;
  }
  CHECK(intact > 90);
  CHECK(corrupt == 1);
}

TEST_CASE("modbus server: answers the published requests with the published bytes",
          "[orchard][modbus][reference]") {
  const Csv csv{"08_modbus_frames.csv"};
  struct Case {
    Case(std::string function, Table table, int first, std::vector<std::uint16_t> words)
        : code{std::move(function)}, registers{table, first, std::move(words)} {}
    std::string code;
    Words registers;
  };
  std::deque<Case> cases;
  cases.emplace_back("01", Table::coil, 19, bits({0xCD, 0x6B, 0x05}, 19));
  cases.emplace_back("02", Table::discrete, 196, bits({0xAC, 0xDB, 0x35}, 22));
  cases.emplace_back("03", Table::holding, 107, std::vector<std::uint16_t>{555, 0, 100});
  cases.emplace_back("04", Table::input, 8, std::vector<std::uint16_t>{10});
  cases.emplace_back("05", Table::coil, 172, std::vector<std::uint16_t>{0});
  cases.emplace_back("06", Table::holding, 1, std::vector<std::uint16_t>{0});
  for (auto& [code, registers] : cases) {
    INFO("function " << code);
    const Bytes asked = published(csv, "request", code);
    REQUIRE(request_length(ByteView{asked}.first(2)) == asked.size());
    CHECK(reply_to(asked, registers) == published(csv, "response", code));
  }
  CHECK(cases[4].registers.at(172) == 1);
  CHECK(cases[5].registers.at(1) == 3);
}

TEST_CASE("modbus server: refuses with the exceptions of the specification, as frames",
          "[orchard][modbus][reference]") {
  const Csv csv{"08_modbus_frames.csv"};
  for (const char* code : {"01", "02", "03", "04", "05", "06"}) {
    INFO("function " << code);
    const auto function = static_cast<std::uint8_t>(std::stoi(code));
    Words nothing{Table::input, 0x7000, {}};
    CHECK(reply_to(request(function, 5, function < 5 ? 1 : 0), nothing) ==
          published_exception(csv, code, "02"));
    if (function == 6) continue;  // any value may be written to a register
    const int bad = function == 5 ? 0x1234 : 0;
    CHECK(reply_to(request(function, 5, bad), nothing) == published_exception(csv, code, "03"));
  }
  Words nothing{Table::input, 0, {}};
  for (const char* code : {"0F", "10"}) {
    const Bytes asked = published(csv, "request", code);
    CHECK(request_length(asked) == asked.size());
    CHECK(reply_to(asked, nothing) == published_exception(csv, code, "01"));
  }
}

TEST_CASE("modbus server: keeps the specification's limits of one read", "[orchard][modbus][reference]") {
  Words coils{Table::coil, 0, std::vector<std::uint16_t>(3000, 1)};
  Words inputs{Table::input, 0, std::vector<std::uint16_t>(3000, 7)};
  CHECK(reply_to(request(1, 0, 2000), coils).size() == 5 + 250);
  CHECK(reply_to(request(1, 0, 2001), coils)[1] == 0x81);
  CHECK(reply_to(request(4, 0, 125), inputs).size() == 5 + 250);
  CHECK(reply_to(request(4, 0, 126), inputs)[1] == 0x84);
  // 08_modbus_rules.csv, "address example": 100 registers, start 96, quantity 4 and 5.
  Words hundred{Table::input, 0, std::vector<std::uint16_t>(100, 7)};
  CHECK(reply_to(request(4, 96, 4), hundred)[1] == 0x04);
  CHECK(reply_to(request(4, 96, 5), hundred) == frame_of(kStation, Bytes{0x84, 0x02}));
  CHECK(reply_to(request(4, 0xFFFF, 2), hundred) == frame_of(kStation, Bytes{0x84, 0x02}));
}

TEST_CASE("modbus server: every single-byte corruption of a frame is noticed", "[orchard][modbus]") {
  const Bytes frame = published(Csv{"08_modbus_frames.csv"}, "response", "03");
  int tried = 0;
  for (std::size_t at = 0; at < frame.size(); ++at) {
    for (unsigned change = 1; change < 256; ++change) {
      Bytes spoilt = frame;
      spoilt[at] = static_cast<std::uint8_t>(spoilt[at] ^ change);
      REQUIRE_FALSE(is_intact(spoilt));
      ++tried;
    }
  }
  CHECK(tried == 255 * 11);
}

TEST_CASE("modbus server: random PDUs are answered within the longest frame or not at all",
          "[orchard][modbus][property]") {
  const auto seed = support::seed_or(8);
  INFO("seed " << seed);
  support::Dice dice{seed};
  Words some{Table::holding, 0, std::vector<std::uint16_t>(200, 0x1234)};
  for (int turn = 0; turn < 20'000; ++turn) {
    Bytes pdu(static_cast<std::size_t>(dice.roll(12)));
    for (auto& byte : pdu)
      byte = static_cast<std::uint8_t>(dice.roll(dice.one_in(2) ? 8 : 256));
    const auto reply = answer(pdu, some);
    if (!reply) {
      REQUIRE(pdu.empty());
      continue;
    }
    REQUIRE(reply->size() >= 2);
    REQUIRE(reply->size() <= 253);  // 08_modbus_rules.csv, "PDU size"
    REQUIRE(((*reply)[0] & 0x7FU) == (pdu[0] & 0x7FU));
  }
}
