#include "stillwell/config/small_file.hpp"

#include <fstream>

namespace stillwell::config {

Result<std::string> read_small_file(const std::filesystem::path& file, std::size_t most) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (!std::filesystem::exists(status)) return Failure{"there is no such file"};
  if (!std::filesystem::is_regular_file(status)) return Failure{"is not a file"};
  std::ifstream stream(file, std::ios::binary);
  std::string text(most + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (stream.bad() || !stream.is_open()) return Failure{"cannot be read; check its owner and mode"};
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return text;
}

}  // namespace stillwell::config
