#pragma once
// Bytes of a range sensor in, readings out. A frame that fails its check costs one byte and the rest is
// looked at again, so that a good frame behind (or inside) a bad one is not lost. What a special value such
// as zero means is not decided here.

#include "stillwell/field/frames/format.hpp"
#include "stillwell/field/frames/pattern.hpp"
#include "stillwell/quantity/result.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace stillwell::field {

struct FrameCounters {
  std::uint64_t frames = 0;      ///< readings delivered
  std::uint64_t bad_frames = 0;  ///< wrong sums; lines that do not fit the pattern
  std::uint64_t skipped = 0;     ///< bytes that belong to no good frame; line ends are not counted
};

class FrameDecoder {
 public:
  /// Refuses a unit that is not positive, a pattern that is not understood and a binary frame that is longer
  /// than kLongestFrame.
  static Result<FrameDecoder> make(const FrameFormat& format);

  /// Takes any piece of the stream, however it was cut, and returns the readings completed by it in order.
  /// Never throws for what the bytes say; keeps at most kLongestLine bytes.
  std::vector<Metres> feed(std::span<const std::uint8_t> bytes);

  [[nodiscard]] const FrameCounters& counters() const { return counters_; }

 private:
  FrameDecoder(const FrameFormat& format, LinePattern pattern);
  void push_binary(std::uint8_t byte, std::vector<Metres>& readings);
  void push_text(std::uint8_t byte, std::vector<Metres>& readings);
  void end_line(std::vector<Metres>& readings);
  [[nodiscard]] std::span<const std::uint8_t> frame() const { return {buffer_.data(), frame_size_}; }
  [[nodiscard]] bool sum_fits() const;
  void append(std::uint8_t byte) { buffer_[held_++] = byte; }
  void drop_first();
  void accept(std::uint32_t count, std::vector<Metres>& readings);

  FrameFormat format_;
  LinePattern pattern_;
  std::size_t frame_size_;
  std::array<std::uint8_t, kLongestLine> buffer_{};
  std::size_t held_ = 0;
  bool heard_from_start_ = false;  ///< text: a line end was heard before the line that is being collected
  FrameCounters counters_;
};
}  // namespace stillwell::field
