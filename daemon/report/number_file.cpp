#include "stillwell/report/number_file.hpp"

#include <array>
#include <charconv>
#include <string>

#include <fcntl.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

constexpr std::size_t kDigits = 20;  // of the highest 64-bit number

}  // namespace

NumberFile::NumberFile(const std::filesystem::path& path) {
  if (path.empty()) return;
  fd_ = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0640);
  if (fd_ < 0) fd_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);  // on a disk that is read-only
}

NumberFile::~NumberFile() {
  if (fd_ >= 0) ::close(fd_);
}

std::optional<std::uint64_t> NumberFile::read() const {
  std::array<char, kDigits> digits{};
  if (fd_ < 0 || ::pread(fd_, digits.data(), digits.size(), 0) != static_cast<ssize_t>(digits.size()))
    return {};
  std::uint64_t number = 0;
  const char* const end = digits.data() + digits.size();
  const auto [stopped, error] = std::from_chars(digits.data(), end, number);
  if (error != std::errc{} || stopped != end) return {};
  return number;
}

bool NumberFile::write(std::uint64_t number) const {
  const std::string text = std::to_string(number);
  const std::string digits = std::string(kDigits - text.size(), '0') + text;
  return fd_ >= 0 && ::pwrite(fd_, digits.data(), digits.size(), 0) == static_cast<ssize_t>(digits.size());
}

}  // namespace stillwell::report
