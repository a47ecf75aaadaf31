#include "stillwell/orchard/modbus.hpp"

#include <algorithm>

namespace stillwell::orchard {
namespace {

using config::Table;

constexpr std::uint8_t kIllegalFunction = 1;
constexpr std::uint8_t kIllegalAddress = 2;
constexpr std::uint8_t kIllegalValue = 3;

// Section 6 of the application protocol: how much one request may read.
constexpr int kMostBits = 2000;
constexpr int kMostRegisters = 125;

constexpr std::uint16_t kCoilOn = 0xFF00;

std::uint16_t word_at(ByteView bytes, std::size_t at) {
  return static_cast<std::uint16_t>((bytes[at] << 8U) | bytes[at + 1]);
}

Bytes pack_bits(std::uint8_t function, const std::vector<std::uint16_t>& bits) {
  const std::size_t count = (bits.size() + 7) / 8;
  Bytes pdu(2 + count, 0);
  pdu[0] = function;
  pdu[1] = static_cast<std::uint8_t>(count);
  for (std::size_t i = 0; i < bits.size(); ++i) {
    if (bits[i] == 0) continue;
    std::uint8_t& byte = pdu[2 + i / 8];
    byte = static_cast<std::uint8_t>(byte | (1U << (i % 8)));
  }
  return pdu;
}

Bytes pack_words(std::uint8_t function, const std::vector<std::uint16_t>& words) {
  Bytes pdu{function, static_cast<std::uint8_t>(2 * words.size())};
  for (const std::uint16_t word : words) {
    pdu.push_back(static_cast<std::uint8_t>(word >> 8U));
    pdu.push_back(static_cast<std::uint8_t>(word & 0xFFU));
  }
  return pdu;
}

Bytes answer_read(ByteView pdu, Table table, Registers& registers) {
  const bool bits = table == Table::coil || table == Table::discrete;
  const int first = word_at(pdu, 1);
  const int count = word_at(pdu, 3);
  if (count < 1 || count > (bits ? kMostBits : kMostRegisters)) return exception_to(pdu[0], kIllegalValue);
  const auto words = first + count > 0x10000 ? std::nullopt : registers.read(table, first, count);
  if (!words) return exception_to(pdu[0], kIllegalAddress);
  return bits ? pack_bits(pdu[0], *words) : pack_words(pdu[0], *words);
}

std::optional<Bytes> answer_write(ByteView pdu, Table table, Registers& registers) {
  const std::uint16_t value = word_at(pdu, 3);
  if (table == Table::coil && value != 0 && value != kCoilOn) return exception_to(pdu[0], kIllegalValue);
  const std::uint16_t wanted = table == Table::coil && value == kCoilOn ? 1 : value;
  switch (registers.write(table, word_at(pdu, 1), wanted)) {
    case Written::done: return Bytes{pdu.begin(), pdu.end()};
    case Written::absent: return exception_to(pdu[0], kIllegalAddress);
    case Written::unheard: return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace

std::uint16_t crc_of(ByteView bytes) {
  unsigned sum = 0xFFFF;
  for (const std::uint8_t byte : bytes) {
    sum ^= byte;
    for (int bit = 0; bit < 8; ++bit) {
      const bool carry = (sum & 1U) != 0;
      sum >>= 1U;
      if (carry) sum ^= 0xA001U;  // 0x8005 with its bits in reverse
    }
  }
  return static_cast<std::uint16_t>(sum);
}

Bytes frame_of(std::uint8_t station, ByteView pdu) {
  Bytes frame;
  frame.reserve(pdu.size() + 3);
  frame.push_back(station);
  frame.insert(frame.end(), pdu.begin(), pdu.end());
  const std::uint16_t sum = crc_of(frame);
  frame.push_back(static_cast<std::uint8_t>(sum & 0xFFU));
  frame.push_back(static_cast<std::uint8_t>(sum >> 8U));
  return frame;
}

bool is_intact(ByteView frame) {
  if (frame.size() < 4) return false;
  const std::size_t body = frame.size() - 2;
  const std::uint16_t sum = crc_of(frame.first(body));
  return frame[body] == (sum & 0xFFU) && frame[body + 1] == (sum >> 8U);
}

std::optional<std::size_t> request_length(ByteView begun) {
  if (begun.size() < 2) return std::nullopt;
  const std::uint8_t function = begun[1];
  if (function >= 0x01 && function <= 0x06) return 8;
  const bool writes_many = function == 0x0F || function == 0x10;
  if (writes_many && begun.size() >= 7) return 9U + begun[6];
  return std::nullopt;
}

Bytes exception_to(std::uint8_t function, std::uint8_t code) {
  return {static_cast<std::uint8_t>(function | 0x80U), code};
}

std::optional<Bytes> answer(ByteView pdu, Registers& registers) {
  if (pdu.empty()) return std::nullopt;
  const std::uint8_t function = pdu[0];
  if (function < 0x01 || function > 0x06) return exception_to(function, kIllegalFunction);
  if (pdu.size() != 5) return exception_to(function, kIllegalValue);
  switch (function) {
    case 0x01: return answer_read(pdu, Table::coil, registers);
    case 0x02: return answer_read(pdu, Table::discrete, registers);
    case 0x03: return answer_read(pdu, Table::holding, registers);
    case 0x04: return answer_read(pdu, Table::input, registers);
    case 0x05: return answer_write(pdu, Table::coil, registers);
    default: return answer_write(pdu, Table::holding, registers);
  }
}

}  // namespace stillwell::orchard
