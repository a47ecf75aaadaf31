#include "stillwell/config/checksum.hpp"

#include <array>
#include <charconv>

namespace stillwell::config {

std::uint32_t crc_32(std::string_view bytes) {
  constexpr std::uint32_t kPolynomial = 0xEDB88320;  // reflected
  std::uint32_t crc = 0xFFFFFFFF;
  for (const char byte : bytes) {
    crc ^= static_cast<unsigned char>(byte);
    for (int bit = 0; bit < 8; ++bit)
      crc = (crc & 1U) != 0 ? crc >> 1U ^ kPolynomial : crc >> 1U;
  }
  return ~crc;
}

std::string checksum_text(std::string_view bytes) {
  constexpr std::size_t kDigits = 8;
  std::array<char, kDigits> digits{};
  const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), crc_32(bytes), 16);
  const std::string text(digits.data(), error == std::errc{} ? end : digits.data());
  return std::string(kDigits - text.size(), '0') + text;
}

}  // namespace stillwell::config
