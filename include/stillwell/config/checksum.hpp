#pragma once
// A checksum that tells two versions of a file apart on paper. No guard against anybody.

#include <cstdint>
#include <string>
#include <string_view>

namespace stillwell::config {

/// CRC-32 as in RFC 1952 (gzip), section 8.
std::uint32_t crc_32(std::string_view bytes);
/// As eight hexadecimal digits.
std::string checksum_text(std::string_view bytes);

}  // namespace stillwell::config
