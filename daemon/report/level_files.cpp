// The files of the log of levels.
#include "stillwell/report/durable_file.hpp"
#include "stillwell/report/level_log.hpp"

#include <cerrno>
#include <charconv>
#include <fstream>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view kStem = "levels-";
constexpr std::string_view kEnding = ".csv";
/// A configuration that is changed more often within a month is being written just now.
constexpr int kMostParts = 100;

fs::path part_of(const fs::path& directory, const std::string& month, int part) {
  const std::string more = part == 1 ? "" : "-" + std::to_string(part);
  return directory / (std::string{kStem} + month + more + std::string{kEnding});
}

/// Where the last whole row of a file ends, when it has this header; nothing when it is another's.
std::optional<std::uintmax_t> end_of_rows(const fs::path& file, const std::string& header) {
  std::ifstream stream{file, std::ios::binary};
  std::string found(header.size(), '\0');
  stream.read(found.data(), static_cast<std::streamsize>(found.size()));
  if (found != header) return std::nullopt;
  const std::uintmax_t size = fs::file_size(file);
  constexpr std::uintmax_t kLongestRow = 64'000;
  const std::uintmax_t from = size > kLongestRow ? size - kLongestRow : 0;
  std::string tail(static_cast<std::size_t>(size - from), '\0');
  stream.seekg(static_cast<std::streamoff>(from));
  stream.read(tail.data(), static_cast<std::streamsize>(tail.size()));
  const std::size_t last = tail.rfind('\n');
  if (last == std::string::npos) return std::nullopt;
  return from + last + 1;
}

/// Whole or not at all: what did not fit is taken off again, so that it can be tried once more.
std::optional<Failure> append(const fs::path& file, const std::string& text) {
  const auto failed = [&] { return Failure{file.string() + ": " + std::generic_category().message(errno)}; };
  const int fd = ::open(file.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0640);
  if (fd < 0) return failed();
  const off_t before = ::lseek(fd, 0, SEEK_END);
  std::optional<Failure> failure;
  if (before < 0 || !write_all(fd, text)) failure = failed();
  if (failure && before >= 0 && ::ftruncate(fd, before) != 0) failure = failed();
  ::close(fd);
  return failure;
}

/// "levels-2026-03.csv" and "levels-2026-03-2.csv" → the day after that month.
std::optional<std::chrono::sys_days> end_of_month(const std::string& name) {
  const std::string_view text = name;
  if (!text.starts_with(kStem) || !text.ends_with(kEnding) || text.size() < kStem.size() + 7)
    return std::nullopt;
  int year = 0;
  unsigned month = 0;
  const char* const begin = text.data() + kStem.size();
  if (std::from_chars(begin, begin + 4, year).ptr != begin + 4 || begin[4] != '-' ||
      std::from_chars(begin + 5, begin + 7, month).ptr != begin + 7)
    return std::nullopt;
  const auto first = std::chrono::year_month{std::chrono::year{year}, std::chrono::month{month}};
  if (!first.ok()) return std::nullopt;
  return std::chrono::sys_days{(first + std::chrono::months{1}) / 1};
}

}  // namespace

std::optional<Failure> append_levels(const fs::path& directory, const std::string& month,
                                     const std::string& header, const std::string& rows) try {
  for (int part = 1; part <= kMostParts; ++part) {
    const fs::path file = part_of(directory, month, part);
    if (!fs::exists(file) || fs::file_size(file) < header.size()) {
      fs::remove(file);  // not even a header was written
      return append(file, header + rows);
    }
    const auto end = end_of_rows(file, header);
    if (!end) continue;
    if (*end < fs::file_size(file)) fs::resize_file(file, *end);
    return append(file, rows);
  }
  return Failure{directory.string() + ": the configuration changed too often in " + month};
} catch (const fs::filesystem_error& error) {
  return Failure{error.what()};
}

void forget_levels(const fs::path& directory, std::chrono::sys_days before) {
  std::error_code error;
  for (const auto& entry : fs::directory_iterator{directory, error}) {
    const auto end = end_of_month(entry.path().filename().string());
    if (end && *end < before) fs::remove(entry.path(), error);
  }
}

}  // namespace stillwell::report
