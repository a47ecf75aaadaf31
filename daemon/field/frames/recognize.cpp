#include "stillwell/field/frames/recognize.hpp"

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/layout.hpp"
#include "stillwell/field/frames/recognize_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace stillwell::field {
namespace {

using HeardBytes = std::span<const std::uint8_t>;

constexpr std::size_t kShortestFrame = 3;  // start, a byte, a sum
constexpr std::size_t kLongestGuess = 16;
/// Of the bytes so much must belong to frames that fit, or they are something else.
constexpr double kShareOfBytes = 0.8;
/// What a tank's sensor may say in millimetres; another number is taken for something else (common practice,
/// no source).
constexpr std::uint32_t kNearest = 20;
constexpr std::uint32_t kFarthest = 20'000;

/// Where frames stand, before it is asked what is in them.
struct Framing {
  std::uint8_t start = 0;
  std::size_t size = 0;
  FrameSum sum = FrameSum::low_byte;
  std::vector<HeardBytes> frames;

  [[nodiscard]] std::size_t covered() const { return frames.size() * size; }
};

bool fits(HeardBytes frame, FrameSum sum) {
  const std::size_t body = frame.size() - width_of(sum);
  const std::uint16_t check = check_over(sum, frame.first(body));
  if (frame[body] != (check & 0xFFU)) return false;
  return width_of(sum) == 1 || frame[body + 1] == check >> 8U;
}

/// A line that is stuck says one byte for ever, and some sums of it fit.
bool is_one_byte(HeardBytes bytes) {
  return std::all_of(bytes.begin(), bytes.end(), [&](std::uint8_t byte) { return byte == bytes.front(); });
}

Framing frames_of(HeardBytes bytes, std::uint8_t start, std::size_t size, FrameSum sum) {
  Framing framing{.start = start, .size = size, .sum = sum, .frames = {}};
  for (std::size_t at = 0; at + size <= bytes.size();) {
    const HeardBytes frame = bytes.subspan(at, size);
    const bool is_frame = frame[0] == start && fits(frame, sum) && !is_one_byte(frame);
    if (is_frame) framing.frames.push_back(frame);
    at += is_frame ? size : 1;
  }
  return framing;
}

/// The framing that most bytes belong to; of equals the shortest one. Empty when too many belong to none.
std::optional<Framing> best_framing(HeardBytes bytes) {
  std::array<std::size_t, 256> seen{};
  for (const std::uint8_t byte : bytes)
    ++seen.at(byte);
  Framing best;
  for (std::size_t start = 0; start < seen.size(); ++start) {
    if (seen.at(start) < kFewestFrames) continue;
    for (std::size_t size = kShortestFrame; size <= kLongestGuess; ++size) {
      for (const FrameSum sum : {FrameSum::low_byte, FrameSum::exclusive_or, FrameSum::crc_16}) {
        if (size < 2 + width_of(sum)) continue;
        Framing framing = frames_of(bytes, static_cast<std::uint8_t>(start), size, sum);
        if (framing.covered() > best.covered()) best = std::move(framing);
      }
    }
  }
  // Half a frame at either end is nobody's fault.
  const std::size_t ends = std::min(bytes.size(), best.size);
  const bool enough =
      best.frames.size() >= kFewestFrames &&
      static_cast<double>(best.covered()) >= kShareOfBytes * static_cast<double>(bytes.size() - ends);
  return enough ? std::optional{best} : std::nullopt;
}

/// Where in a frame the number stands, and how it is written.
struct ValuePlace {
  std::size_t lead = 0;
  FrameValue value = FrameValue::u16be;
};

std::vector<std::uint32_t> numbers_in(const Framing& framing, const ValuePlace& place) {
  std::vector<std::uint32_t> numbers;
  for (const HeardBytes frame : framing.frames)
    numbers.push_back(read_value(place.value, frame.subspan(1 + place.lead)));
  return numbers;
}

bool are_plausible(const std::vector<std::uint32_t>& numbers) {
  return std::all_of(numbers.begin(), numbers.end(),
                     [](std::uint32_t n) { return n >= kNearest && n <= kFarthest; });
}

/// How far the number leaps from frame to frame: water does not, and with its bytes exchanged it seems to.
double leaps_of(const std::vector<std::uint32_t>& numbers) {
  double sum = 0.0;
  for (std::size_t at = 1; at < numbers.size(); ++at)
    sum += std::abs(static_cast<double>(numbers[at]) - static_cast<double>(numbers[at - 1]));
  return sum;
}

/// The first place at which millimetres could stand; of the numbers that begin there the calmest one. With
/// `must_move` one that stands still while its frames differ is none.
std::optional<ValuePlace> find_value(const Framing& framing, bool must_move) {
  const std::size_t room = framing.size - 1 - width_of(framing.sum);
  std::optional<ValuePlace> best;
  double calmest = 0.0;
  for (std::size_t lead = 0; lead < room && !best; ++lead) {
    for (const FrameValue value : {FrameValue::u16be, FrameValue::u24be, FrameValue::u32be, FrameValue::u16le,
                                   FrameValue::u24le, FrameValue::u32le}) {
      if (lead + width_of(value) > room) continue;
      const auto numbers = numbers_in(framing, {lead, value});
      const double leaps = leaps_of(numbers);
      const bool is_worse = best && leaps >= calmest;
      if (!are_plausible(numbers) || is_worse || (must_move && leaps == 0.0)) continue;
      best = ValuePlace{lead, value};
      calmest = leaps;
    }
  }
  return best;
}

ValuePlace likeliest_value(const Framing& framing) {
  const bool differ = std::any_of(framing.frames.begin(), framing.frames.end(), [&](HeardBytes frame) {
    return !std::equal(frame.begin(), frame.end(), framing.frames.front().begin());
  });
  if (const auto moving = find_value(framing, differ)) return *moving;
  if (const auto standing = find_value(framing, false)) return *standing;
  return {0, framing.size - width_of(framing.sum) > 2 ? FrameValue::u16be : FrameValue::u8};
}

Heard heard_binary(const Framing& framing) {
  const ValuePlace place = likeliest_value(framing);
  FrameFormat format;
  format.kind = FrameKind::binary;
  format.start = framing.start;
  format.lead = static_cast<int>(place.lead);
  format.value = place.value;
  format.trail =
      static_cast<int>(framing.size - 1 - width_of(framing.sum) - place.lead - width_of(place.value));
  format.sum = framing.sum;
  format.unit = Metres{0.001};
  return {.kind = HeardKind::binary, .format = format, .counts = numbers_in(framing, place)};
}

Heard heard_text(HeardBytes bytes, const std::vector<std::string>& lines) {
  const auto pattern = pattern_of(lines);
  if (!pattern) return {.kind = HeardKind::prose, .sample = lines.front()};
  FrameFormat format;
  format.kind = FrameKind::text;
  format.pattern = *pattern;
  format.unit = Metres{0.001};
  Heard heard{.kind = HeardKind::text, .format = format, .sample = lines.front()};
  const auto decoder = FrameDecoder::make(format);
  if (!decoder) return heard;
  FrameDecoder reader = *decoder;
  for (const Metres reading : reader.feed(bytes))
    heard.counts.push_back(static_cast<std::uint32_t>(std::lround(reading.value() * 1000.0)));
  return heard;
}

/// Requests of Modbus RTU (Modbus over Serial Line V1.02, 2.5.1): 8 bytes of a function that reads, or writes
/// one item, with a check sum that fits.
bool is_traffic(HeardBytes bytes) {
  constexpr std::size_t kRequest = 8;
  std::size_t requests = 0;
  for (std::size_t at = 0; at + kRequest <= bytes.size(); ++at) {
    const HeardBytes frame = bytes.subspan(at, kRequest);
    if (frame[0] <= 247 && frame[1] >= 1 && frame[1] <= 6 && fits(frame, FrameSum::crc_16)) ++requests;
  }
  return requests >= 2;
}

std::string hex_of(HeardBytes bytes) {
  constexpr std::string_view kDigits = "0123456789ABCDEF";
  std::string text;
  for (const std::uint8_t byte : bytes.first(std::min<std::size_t>(bytes.size(), 16))) {
    if (!text.empty()) text += ' ';
    text += kDigits[byte >> 4U];
    text += kDigits[byte & 0xFU];
  }
  return text;
}

Heard judge_bytes(HeardBytes bytes) {
  if (is_traffic(bytes)) return {.kind = HeardKind::traffic};
  const auto lines = whole_lines(bytes);
  if (lines.size() >= kFewestFrames) return heard_text(bytes, lines);
  if (const auto framing = best_framing(bytes)) return heard_binary(*framing);
  return {.kind = HeardKind::noise};
}

}  // namespace

Heard recognize(std::span<const std::uint8_t> bytes) {
  if (bytes.empty()) return {};
  Heard heard = judge_bytes(bytes);
  heard.bytes = bytes.size();
  if (heard.sample.empty()) heard.sample = hex_of(bytes);
  return heard;
}

}  // namespace stillwell::field
