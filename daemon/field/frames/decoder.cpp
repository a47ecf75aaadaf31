#include "stillwell/field/frames/decoder.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace stillwell::field {

std::size_t binary_frame_size(const FrameFormat& format) {
  constexpr std::size_t kStartAndValue = 3;
  return format.sum == FrameSum::none ? kStartAndValue : kStartAndValue + 1;
}

Result<FrameDecoder> FrameDecoder::make(const FrameFormat& format) {
  if (!(format.unit > Metres{0.0})) return Failure{"a frame's unit must be greater than zero"};
  if (format.kind == FrameKind::binary) return FrameDecoder{format, LinePattern{}};
  const auto pattern = LinePattern::make(format.pattern);
  if (!pattern) return Failure{pattern.error()};
  return FrameDecoder{format, *pattern};
}

FrameDecoder::FrameDecoder(const FrameFormat& format, LinePattern pattern)
    : format_{format}, pattern_{std::move(pattern)}, frame_size_{binary_frame_size(format)} {}

std::vector<Metres> FrameDecoder::feed(std::span<const std::uint8_t> bytes) {
  std::vector<Metres> readings;
  for (const std::uint8_t byte : bytes) {
    switch (format_.kind) {
      case FrameKind::binary: push_binary(byte, readings); break;
      case FrameKind::text: push_text(byte, readings); break;
    }
  }
  return readings;
}

void FrameDecoder::push_binary(std::uint8_t byte, std::vector<Metres>& readings) {
  append(byte);
  while (held_ > 0) {  // each turn drops a byte or leaves
    if (buffer_[0] != format_.start) {
      drop_first();
      continue;
    }
    if (held_ < frame_size_) return;
    if (!sum_fits()) {
      ++counters_.bad_frames;
      drop_first();
      continue;
    }
    const bool big_endian = format_.value == FrameValue::u16be;
    const std::uint32_t high = buffer_[big_endian ? 1 : 2];
    const std::uint32_t low = buffer_[big_endian ? 2 : 1];
    accept(high << 8U | low, readings);
    held_ = 0;
  }
}

bool FrameDecoder::sum_fits() const {
  if (format_.sum == FrameSum::none) return true;
  const auto sum = std::accumulate(buffer_.begin(), buffer_.begin() + 3, 0U);
  return buffer_[3] == (sum & 0xFFU);
}

void FrameDecoder::push_text(std::uint8_t byte, std::vector<Metres>& readings) {
  if (byte == '\r' || byte == '\n') return end_line(readings);
  if (held_ == buffer_.size()) {
    drop_first();
    heard_from_start_ = false;
  }
  append(byte);
}

void FrameDecoder::end_line(std::vector<Metres>& readings) {
  const bool heard_from_start = std::exchange(heard_from_start_, true);
  if (held_ == 0) return;  // the LF after a CR
  const std::span<const std::uint8_t> line{buffer_.data(), held_};
  const std::size_t starts = pattern_.needs_whole_line() ? (heard_from_start ? 1 : 0) : held_;
  for (std::size_t junk = 0; junk < starts; ++junk) {
    const auto count = pattern_.match(line.subspan(junk));
    if (!count) continue;
    counters_.skipped += junk;
    held_ = 0;
    return accept(*count, readings);
  }
  ++counters_.bad_frames;
  counters_.skipped += held_;
  held_ = 0;
}

void FrameDecoder::drop_first() {
  std::copy(buffer_.begin() + 1, buffer_.begin() + static_cast<std::ptrdiff_t>(held_), buffer_.begin());
  --held_;
  ++counters_.skipped;
}

void FrameDecoder::accept(std::uint32_t count, std::vector<Metres>& readings) {
  ++counters_.frames;
  readings.push_back(format_.unit * static_cast<double>(count));
}

}  // namespace stillwell::field
