#include "stillwell/field/frames/encoder.hpp"

#include "stillwell/field/frames/decoder.hpp"
#include "stillwell/field/frames/layout.hpp"
#include "stillwell/field/frames/pattern.hpp"

#include <cmath>
#include <span>
#include <string>

namespace stillwell::field {
namespace {

const Failure kDoesNotFit{"the reading does not fit the frame"};

/// What a sensor puts between start, value and sum is its own affair: zeros here.
std::vector<std::uint8_t> binary_frame(const FrameFormat& format, std::uint32_t count) {
  std::vector<std::uint8_t> frame(binary_frame_size(format) - width_of(format.sum), 0);
  frame[0] = format.start;
  write_value(format.value, count, std::span{frame}.subspan(1 + static_cast<std::size_t>(format.lead)));
  const unsigned check = check_over(format.sum, frame);
  for (unsigned at = 0; at < width_of(format.sum); ++at)
    frame.push_back(static_cast<std::uint8_t>(check >> at * 8U & 0xFFU));
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
  const double most = binary ? static_cast<double>(largest_of(format.value)) : 999'999'999.0;
  if (!(count >= 0.0 && count <= most)) return kDoesNotFit;  // NaN fails both
  const auto counts = static_cast<std::uint32_t>(count);
  if (binary) return binary_frame(format, counts);
  return text_line(format, counts);
}

}  // namespace stillwell::field
