#include "stillwell/field/probe.hpp"

#include "stillwell/field/frames/layout.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace stillwell::field {
namespace {

constexpr std::uint8_t kReadHolding = 3;
constexpr std::uint8_t kReadInput = 4;
constexpr unsigned kExceptionBit = 0x80;
constexpr std::size_t kExceptionBytes = 5;

// Modbus Application Protocol V1.1b3, 7.
constexpr std::array<std::pair<int, std::string_view>, 9> kExceptions{
    {{0x01, "illegal function"},
     {0x02, "illegal data address"},
     {0x03, "illegal data value"},
     {0x04, "server device failure"},
     {0x05, "acknowledge"},
     {0x06, "server device busy"},
     {0x08, "memory parity error"},
     {0x0A, "gateway path unavailable"},
     {0x0B, "gateway target device failed to respond"}}};

bool has_right_sum(std::span<const std::uint8_t> frame) {
  const std::size_t body = frame.size() - 2;
  const std::uint16_t sum = check_over(FrameSum::crc_16, frame.first(body));
  return frame[body] == (sum & 0xFFU) && frame[body + 1] == sum >> 8U;
}

/// The reply that begins with these bytes; silence when none does.
ProbeAnswer reply_at(std::uint8_t function, std::span<const std::uint8_t> bytes) {
  ProbeAnswer answer;
  if (bytes.size() < kExceptionBytes || bytes[0] < kFirstStation || bytes[0] > kLastStation) return answer;
  answer.station = bytes[0];
  if (bytes[1] == (function | kExceptionBit) && has_right_sum(bytes.first(kExceptionBytes))) {
    answer.kind = ProbeOutcome::exception;
    answer.exception = bytes[2];
  }
  const bool is_value = bytes.size() >= kProbeReplyBytes && bytes[1] == function && bytes[2] == 2 &&
                        has_right_sum(bytes.first(kProbeReplyBytes));
  if (is_value) {
    answer.kind = ProbeOutcome::value;
    answer.word = static_cast<std::uint16_t>(bytes[3] << 8U | bytes[4]);
  }
  return answer;
}

}  // namespace

Probe probe_of(int station, config::Table table, int address) {
  Probe request{static_cast<std::uint8_t>(station),
                table == config::Table::input ? kReadInput : kReadHolding,
                static_cast<std::uint8_t>(address >> 8),
                static_cast<std::uint8_t>(address & 0xFF),
                0,
                1,
                0,
                0};
  const std::uint16_t sum = check_over(FrameSum::crc_16, std::span{request}.first(kProbeBytes - 2));
  request[kProbeBytes - 2] = static_cast<std::uint8_t>(sum & 0xFFU);
  request[kProbeBytes - 1] = static_cast<std::uint8_t>(sum >> 8U);
  return request;
}

ProbeAnswer look_at(const Probe& asked, std::span<const std::uint8_t> bytes) {
  std::vector<std::uint8_t> rest{bytes.begin(), bytes.end()};
  const auto echo = std::search(rest.begin(), rest.end(), asked.begin(), asked.end());
  const bool is_echoed = echo != rest.end();
  if (is_echoed) rest.erase(echo, echo + static_cast<std::ptrdiff_t>(asked.size()));
  ProbeAnswer answer;
  for (std::size_t at = 0; at < rest.size() && answer.kind == ProbeOutcome::silence; ++at)
    answer = reply_at(asked[1], std::span<const std::uint8_t>{rest}.subspan(at));
  if (answer.kind == ProbeOutcome::silence) {
    answer = {};
    if (!rest.empty()) answer.kind = ProbeOutcome::noise;
  }
  answer.is_echoed = is_echoed;
  return answer;
}

std::string_view exception_word(int code) {
  for (const auto& [number, word] : kExceptions)
    if (number == code) return word;
  return "unknown";
}

bool is_from_gateway(int exception) {
  return exception == 0x0A || exception == 0x0B;
}

}  // namespace stillwell::field
