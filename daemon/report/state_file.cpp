#include "stillwell/report/state_file.hpp"

#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>

#include <fcntl.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t kLargest = 16U << 20U;  // a thousand tanks and pumps are a quarter of it

fs::path file_in(const fs::path& directory) {
  return directory / "state.json";
}

std::optional<Failure> failed(const fs::path& path) {
  return Failure{path.string() + ": " + std::generic_category().message(errno)};
}

/// Everything of a text in a new file, on the disk when it returns.
std::optional<Failure> write_durably(const fs::path& path, const std::string& text) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0640);
  if (file < 0) return failed(path);
  std::optional<Failure> failure;
  std::size_t done = 0;
  while (done < text.size() && !failure) {
    const ssize_t count = ::write(file, text.data() + done, text.size() - done);
    if (count > 0) {
      done += static_cast<std::size_t>(count);
    } else if (count == 0 || errno != EINTR) {
      failure = failed(path);
    }
  }
  if (!failure && ::fsync(file) != 0) failure = failed(path);
  ::close(file);
  return failure;
}

/// A rename is on the disk when the directory is.
std::optional<Failure> make_durable(const fs::path& directory) {
  const int folder = ::open(directory.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0) return failed(directory);
  std::optional<Failure> failure;
  if (::fsync(folder) != 0) failure = failed(directory);
  ::close(folder);
  return failure;
}

Result<std::string> read_whole(const fs::path& path) {
  std::error_code error;
  if (fs::file_size(path, error) > kLargest || error)
    return Failure{"it cannot be read, or is far too large"};
  std::ifstream file{path, std::ios::binary};
  if (!file) return Failure{"it cannot be read"};
  return std::string{std::istreambuf_iterator<char>{file}, {}};
}

}  // namespace

FoundState load_state(const fs::path& directory) {
  const fs::path path = file_in(directory);
  std::error_code error;
  if (!fs::exists(path, error)) {
    const bool was_there =
        fs::exists(directory / "journal.jsonl", error) || fs::exists(path.string() + ".old", error);
    return {{}, was_there ? path.string() + " is missing" : ""};
  }
  const auto text = read_whole(path);
  const Result<Kept> kept = text ? parse_kept(*text) : Result<Kept>{Failure{text.error()}};
  if (kept) return {*kept, ""};
  fs::rename(path, path.string() + ".broken", error);
  return {{}, path.string() + ": " + kept.error() + "; it was set aside as state.json.broken"};
}

std::optional<Failure> save_state(const fs::path& directory, const Kept& kept) {
  const fs::path path = file_in(directory);
  const fs::path next = path.string() + ".new";
  const fs::path old = path.string() + ".old";
  if (auto failure = write_durably(next, to_json(kept))) return failure;
  std::error_code error;
  fs::remove(old, error);
  fs::create_hard_link(path, old, error);  // fails at the first save, and where there are no hard links
  fs::rename(next, path, error);
  if (error) return Failure{path.string() + ": " + error.message()};
  return make_durable(directory);
}

}  // namespace stillwell::report
