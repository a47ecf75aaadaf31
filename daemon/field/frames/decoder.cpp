#include "stillwell/field/frames/decoder.hpp"

#include "stillwell/field/frames/layout.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::field {
namespace {

bool has_sound_size(const FrameFormat& format) {
  return format.lead >= 0 && format.trail >= 0 && binary_frame_size(format) <= kLongestFrame;
}

}  // namespace

Result<FrameDecoder> FrameDecoder::make(const FrameFormat& format) {
  if (!(format.unit > Metres{0.0})) return Failure{"a frame's unit must be greater than zero"};
  if (format.kind == FrameKind::binary) {
    if (!has_sound_size(format)) return Failure{"a frame has at most 32 bytes"};
    return FrameDecoder{format, LinePattern{}};
  }
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
    accept(read_value(format_.value, frame().subspan(1 + static_cast<std::size_t>(format_.lead))), readings);
    held_ = 0;
  }
}

bool FrameDecoder::sum_fits() const {
  const std::size_t body = frame_size_ - width_of(format_.sum);
  unsigned check = check_over(format_.sum, frame().first(body));
  for (const std::uint8_t byte : frame().subspan(body)) {
    if (byte != (check & 0xFFU)) return false;
    check >>= 8U;
  }
  return true;
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
