#include "stillwell/report/state_file.hpp"

#include "stillwell/report/durable_file.hpp"

#include <algorithm>
#include <array>
#include <system_error>

namespace stillwell::report {
namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t kLargest = 16U << 20U;  // a thousand tanks and pumps are a quarter of it

fs::path file_in(const fs::path& directory) {
  return directory / "state.json";
}

/// What a daemon leaves beside its state: where one of these is, there was one.
constexpr std::array kMarkers{"state.json.old", "state.json.broken", "journal.jsonl", "journal.jsonl.1",
                              "journal.seq"};

}  // namespace

FoundState load_state(const fs::path& directory) {
  const fs::path path = file_in(directory);
  std::error_code error;
  if (!fs::exists(path, error)) {
    const bool was_there = error || std::ranges::any_of(kMarkers, [&](const char* name) {
                             return fs::exists(directory / name, error);
                           });
    return {{}, was_there ? path.string() + " is missing" : ""};
  }
  const auto text = read_bounded(path, kLargest);
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
