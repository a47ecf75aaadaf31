#include "stillwell/field/frames/encoder.hpp"

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/pattern.hpp"

#include <cmath>
#include <limits>
#include <string>

namespace stillwell::field {
namespace {

const Failure kDoesNotFit{"the reading does not fit the frame"};

std::vector<std::uint8_t> binary_frame(const FrameFormat& format, std::uint32_t count) {
  const auto high = static_cast<std::uint8_t>(count >> 8U);
  const auto low = static_cast<std::uint8_t>(count & 0xFFU);
  std::vector<std::uint8_t> frame{format.start, high, low};
  if (format.value == FrameValue::u16le) frame = {format.start, low, high};
  if (format.sum == FrameSum::low_byte)
    frame.push_back(static_cast<std::uint8_t>((format.start + high + low) & 0xFF));
  return frame;
}

Result<std::vector<std::uint8_t>> text_line(const FrameFormat& format, std::uint32_t count) {
  const auto pattern = LinePattern::make(format.pattern);
  if (!pattern) return Failure{pattern.error()};
  const auto line = pattern->write(count);
  if (!line) return kDoesNotFit;
  std::vector<std::uint8_t> bytes{line->begin(), line->end()};
  bytes.push_back('\r');
  bytes.push_back('\n');
  return bytes;
}

}  // namespace

Result<std::vector<std::uint8_t>> encode(const FrameFormat& format, Metres reading) {
  const auto decodable = FrameDecoder::make(format);
  if (!decodable) return Failure{decodable.error()};
  const double count = std::round(reading / format.unit);
  const bool binary = format.kind == FrameKind::binary;
  const double most = binary ? std::numeric_limits<std::uint16_t>::max() : 999'999'999.0;
  if (!(count >= 0.0 && count <= most)) return kDoesNotFit;  // NaN fails both
  const auto counts = static_cast<std::uint32_t>(count);
  if (binary) return binary_frame(format, counts);
  return text_line(format, counts);
}

}  // namespace stillwell::field
