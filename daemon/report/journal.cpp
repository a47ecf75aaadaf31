#include "stillwell/report/journal.hpp"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <fstream>
#include <stdexcept>
#include <string_view>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/stat.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

/// How many numbers are set aside at once while the disk refuses: one small write in place for so many
/// events.
constexpr std::uint64_t kSetAside = 1000;
std::error_code last_error() {
  return {errno, std::generic_category()};
}

/// Empty when there is none, or something else than a file, which might never end.
std::string read_whole(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(file, ignored)) return {};
  std::ifstream stream{file, std::ios::binary};
  return {std::istreambuf_iterator<char>{stream}, {}};
}

/// The number of one line, 0 when the line is not one of ours.
std::uint64_t newest_in(std::string_view text) {
  std::uint64_t newest = 0;
  while (!text.empty()) {
    const auto end = text.find('\n');
    newest = std::max(newest, seq_in(text.substr(0, end)));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return newest;
}

/// What passes by itself: full, read-only or failing disks. Anything else needs a person before the start.
bool passes_by_itself(const std::error_code& error) {
  return error.value() == ENOSPC || error.value() == EDQUOT || error.value() == EROFS || error.value() == EIO;
}

std::filesystem::path usable(const std::filesystem::path& directory) {
  std::error_code error;
  std::filesystem::create_directories(directory, error);
  if (!error && std::filesystem::is_directory(directory, error)) return directory;
  throw std::runtime_error{"the state directory " + directory.string() +
                           " cannot be used: it is no directory and cannot become one"};
}

}  // namespace

std::uint64_t seq_in(std::string_view line) {
  const auto parsed = Json::parse(line, nullptr, false);
  if (!parsed.is_object()) return 0;
  const auto seq = parsed.find("seq");
  return seq != parsed.end() && seq->is_number_unsigned() ? seq->get<std::uint64_t>() : 0;
}

std::filesystem::path journal_file(const std::filesystem::path& directory, int age) {
  return directory / (age == 0 ? "journal.jsonl" : "journal.jsonl." + std::to_string(age));
}

std::string to_line(const Entry& entry) {
  const Event& event = entry.event;
  Json values = Json::object();
  for (const auto& [name, value] : event.values) {
    if (std::isfinite(value)) values[name] = value;
  }
  Json line = {{"at", to_text(entry.at)},
               {"seq", entry.seq},
               {"kind", to_word(event.kind)},
               {"of", event.of},
               {"cause", event.cause}};
  if (event.priority) line["priority"] = to_word(*event.priority);
  line["text"] = event.text;
  line["values"] = std::move(values);
  return line.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Journal::Journal(JournalOptions options)
    : options_{std::move(options)}, floor_file_{usable(options_.directory) / "journal.seq"} {
  for (int age = options_.keep; age >= 0; --age) {
    newest_seq_ = std::max(newest_seq_, newest_in(read_whole(journal_file(options_.directory, age))));
  }
  floor_ = floor_file_.read().value_or(0);
  has_gap_ = floor_ > newest_seq_;
  newest_seq_ = std::max(newest_seq_, floor_);
  if (floor_ == 0) set_floor(0);
  if (const auto failed = open(); failed && !passes_by_itself(failed)) {
    throw std::runtime_error{"the journal " + journal_file(options_.directory, 0).string() +
                             " cannot be opened: " + failed.message()};
  }
  was_torn_ = torn_;
}

Journal::~Journal() {
  if (fd_ >= 0) ::close(fd_);
}

std::error_code Journal::open() {
  fd_ = ::open(journal_file(options_.directory, 0).c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0640);
  struct stat status {};
  if (fd_ < 0 || ::fstat(fd_, &status) != 0) return last_error();
  size_ = static_cast<std::uintmax_t>(status.st_size);
  char last = '\n';
  torn_ = size_ > 0 && ::pread(fd_, &last, 1, status.st_size - 1) == 1 && last != '\n';
  return {};
}

std::error_code Journal::rotate() {
  for (int age = options_.keep; age > 0; --age) {
    if (::rename(journal_file(options_.directory, age - 1).c_str(),
                 journal_file(options_.directory, age).c_str()) != 0 &&
        errno != ENOENT)
      return last_error();
  }
  ::close(std::exchange(fd_, -1));
  return open();
}

std::optional<Failure> Journal::append(const Entry& entry) {
  std::error_code failed;
  const std::string text = to_line(entry) + '\n';
  newest_seq_ = std::max(newest_seq_, entry.seq);
  if (fd_ < 0) failed = open();
  if (!failed && size_ > 0 && size_ + text.size() > options_.rotate_at) failed = rotate();
  if (!failed) failed = write_whole(torn_ ? '\n' + text : text);
  if (!failed) {
    if (floor_ != 0) set_floor(0);
    return {};
  }
  if (entry.seq > floor_) set_floor(entry.seq + kSetAside);
  return Failure{"cannot write " + journal_file(options_.directory, 0).string() + ": " + failed.message()};
}

std::error_code Journal::write_whole(const std::string& text) {
  const auto written = ::write(fd_, text.data(), text.size());
  if (written == static_cast<ssize_t>(text.size())) {
    size_ += text.size();
    torn_ = false;
    return {};
  }
  // A short write to a file means that the disk filled up in the middle.
  const auto failed = written < 0 ? last_error() : std::error_code{ENOSPC, std::generic_category()};
  if (written > 0) torn_ = ::ftruncate(fd_, static_cast<off_t>(size_)) != 0;
  ::close(std::exchange(fd_, -1));  // the next try opens anew: the directory may have been mounted again
  return failed;
}

/// The broker may get to see a number that never reached the file; after a restart it must not be used again.
void Journal::set_floor(std::uint64_t seq) {
  floor_ = floor_file_.write(seq) ? seq : 0;  // not written: tried again at the next one
}

void Journal::sync() const {
  if (fd_ >= 0) ::fdatasync(fd_);
}

}  // namespace stillwell::report
