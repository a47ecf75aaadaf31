#include "stillwell/report/durable_file.hpp"

#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

namespace stillwell::report {

namespace fs = std::filesystem;

namespace {

std::optional<Failure> failed(const fs::path& path) {
  return Failure{path.string() + ": " + std::generic_category().message(errno)};
}

}  // namespace

Result<std::string> read_bounded(const fs::path& path, std::uintmax_t most) {
  std::error_code error;
  if (fs::file_size(path, error) > most || error) return Failure{"it cannot be read, or is far too large"};
  std::ifstream file{path, std::ios::binary};
  if (!file) return Failure{"it cannot be read"};
  return std::string{std::istreambuf_iterator<char>{file}, {}};
}

bool write_all(int file, const std::string& text) {
  for (std::size_t done = 0; done < text.size();) {
    const ssize_t count = ::write(file, text.data() + done, text.size() - done);
    if (count > 0) done += static_cast<std::size_t>(count);
    if (count == 0 || (count < 0 && errno != EINTR)) return false;
  }
  return true;
}

std::optional<Failure> write_durably(const fs::path& path, const std::string& text) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0640);
  if (file < 0) return failed(path);
  std::optional<Failure> failure;
  if (!write_all(file, text)) failure = failed(path);
  if (!failure && ::fsync(file) != 0) failure = failed(path);
  ::close(file);
  return failure;
}

std::optional<Failure> make_durable(const fs::path& directory) {
  const int folder = ::open(directory.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return failed(directory);
  std::optional<Failure> failure;
  if (::fsync(folder) != 0) failure = failed(directory);
  ::close(folder);
  return failure;
}

std::optional<Failure> replace_durably(const fs::path& path, const std::string& text) {
  const fs::path next = path.string() + ".new";
  if (auto failure = write_durably(next, text)) return failure;
  std::error_code error;
  fs::rename(next, path, error);
  if (error) return Failure{path.string() + ": " + error.message()};
  return make_durable(path.parent_path());
}

}  // namespace stillwell::report
