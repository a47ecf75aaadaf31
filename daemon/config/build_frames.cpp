#include "stillwell/config/build.hpp"

#include <array>
#include <utility>

namespace stillwell::config {
namespace {

using field::FrameSum;
using field::FrameValue;

template <class Enum, std::size_t N>
Enum meant(const std::array<std::pair<std::string_view, Enum>, N>& words, const Checked& section,
           std::string_view key) {
  const std::string word = value_or<std::string>(section, key);
  for (const auto& [text, value] : words)
    if (text == word) return value;
  return words.front().second;
}

constexpr std::array<std::pair<std::string_view, FrameValue>, 7> kFrameValues{{
    {"u16be", FrameValue::u16be},
    {"u8", FrameValue::u8},
    {"u16le", FrameValue::u16le},
    {"u24be", FrameValue::u24be},
    {"u24le", FrameValue::u24le},
    {"u32be", FrameValue::u32be},
    {"u32le", FrameValue::u32le},
}};
constexpr std::array<std::pair<std::string_view, FrameSum>, 4> kFrameSums{{
    {"low-byte", FrameSum::low_byte},
    {"xor", FrameSum::exclusive_or},
    {"crc-16", FrameSum::crc_16},
    {"none", FrameSum::none},
}};

void check_size(Build& build, const Checked& section, const field::FrameFormat& format) {
  const std::size_t size = field::binary_frame_size(format);
  if (size <= field::kLongestFrame) return;
  build.tell(section.at(section.has("trail") ? "trail" : "lead"),
             "the frame would have " + std::to_string(size) + " bytes; expected at most " +
                 std::to_string(field::kLongestFrame));
}

}  // namespace

field::FrameFormat build_frame(Build& build, const Checked& section) {
  field::FrameFormat format;
  const bool is_text = value_or<std::string>(section, "kind") == "text";
  format.kind = is_text ? field::FrameKind::text : field::FrameKind::binary;
  format.start = static_cast<std::uint8_t>(value_or<std::int64_t>(section, "start", format.start));
  format.lead = static_cast<int>(value_or<std::int64_t>(section, "lead"));
  format.value = meant(kFrameValues, section, "value");
  format.trail = static_cast<int>(value_or<std::int64_t>(section, "trail"));
  format.sum = meant(kFrameSums, section, "sum");
  format.unit = value_or<Metres>(section, "unit");
  if (const auto ask = section.get<std::int64_t>("ask")) format.ask = static_cast<std::uint8_t>(*ask);
  format.pattern = value_or<std::string>(section, "pattern");
  if (!is_text) check_size(build, section, format);
  if (is_text && !format.pattern.empty()) {
    if (const auto fault = field::fault_of_pattern(format.pattern)) build.tell(section.at("pattern"), *fault);
  }
  return format;
}

}  // namespace stillwell::config
