#include "stillwell/report/state_file.hpp"

#include <array>
#include <cerrno>
#include <fstream>
#include <iterator>
#include <system_error>

#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

constexpr int kVersion = 1;
constexpr std::uintmax_t kLargest = 4U << 20U;  // a thousand pumps are a quarter of it
constexpr std::array kModes{Mode::automatic, Mode::off};
constexpr std::array kAlarmStates{AlarmState::normal,
                                  AlarmState::unacknowledged,
                                  AlarmState::acknowledged,
                                  AlarmState::returned_unacknowledged,
                                  AlarmState::latched_unacknowledged,
                                  AlarmState::latched_acknowledged};

/// FNV-1a, 64 bits: it tells a torn or changed file from a whole one, and is no protection against malice.
std::string sum_of(const std::string& text) {
  std::uint64_t sum = 0xcbf29ce484222325U;
  for (const char letter : text) {
    sum = (sum ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  }
  return std::to_string(sum);
}

std::string dump(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json written(const std::optional<Cause>& cause) {
  return cause ? Json(std::string(to_word(*cause))) : Json(nullptr);
}

Json written(const KeptPump& pump) {
  return {{"id", pump.id},
          {"mode", std::string(to_word(pump.mode))},
          {"lock_out", written(pump.lock_out)},
          {"first_out", written(pump.first_out)},
          {"feedback_failures", pump.feedback_failures},
          {"recent_starts", pump.recent_starts},
          {"run_time_ns", pump.run_time.count()},
          {"start_count", pump.start_count}};
}

Json written(const KeptAlarm& alarm) {
  return {{"id", alarm.id}, {"state", std::string(to_word(alarm.state))}, {"active", alarm.active}};
}

/// The enumerator of a word; throws for a word of another version.
template <class List>
auto named(const List& all, const std::string& word) {
  for (const auto each : all) {
    if (to_word(each) == word) return each;
  }
  throw std::runtime_error("'" + word + "' is not known to this version");
}

std::optional<Cause> cause_in(const Json& json) {
  if (json.is_null()) return std::nullopt;
  for (const CauseRow& row : cause_table()) {
    if (row.word == json.get<std::string>()) return row.cause;
  }
  throw std::runtime_error("'" + json.get<std::string>() + "' is no cause of this version");
}

KeptPump pump_in(const Json& json) {
  return {.id = json.at("id").get<std::string>(),
          .mode = named(kModes, json.at("mode").get<std::string>()),
          .lock_out = cause_in(json.at("lock_out")),
          .first_out = cause_in(json.at("first_out")),
          .feedback_failures = json.at("feedback_failures").get<int>(),
          .recent_starts = json.at("recent_starts").get<std::size_t>(),
          .run_time = Duration{json.at("run_time_ns").get<Duration::rep>()},
          .start_count = json.at("start_count").get<std::uint64_t>()};
}

KeptAlarm alarm_in(const Json& json) {
  return {.id = json.at("id").get<std::string>(),
          .state = named(kAlarmStates, json.at("state").get<std::string>()),
          .active = json.at("active").get<bool>()};
}

Kept kept_in(const Json& file) {
  const Json& body = file.at("kept");
  if (file.at("version").get<int>() != kVersion) throw std::runtime_error("it is of another version");
  if (file.at("sum").get<std::string>() != sum_of(dump(body))) throw std::runtime_error("its sum is wrong");
  Kept kept;
  for (const Json& pump : body.at("pumps"))
    kept.pumps.push_back(pump_in(pump));
  for (const Json& alarm : body.at("alarms"))
    kept.alarms.push_back(alarm_in(alarm));
  return kept;
}

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

std::string to_json(const Kept& kept) {
  Json body{{"pumps", Json::array()}, {"alarms", Json::array()}};
  for (const KeptPump& pump : kept.pumps)
    body["pumps"].push_back(written(pump));
  for (const KeptAlarm& alarm : kept.alarms)
    body["alarms"].push_back(written(alarm));
  return dump({{"version", kVersion}, {"sum", sum_of(dump(body))}, {"kept", body}}) + "\n";
}

Result<Kept> parse_kept(std::string_view text) {
  const Json file = Json::parse(text, nullptr, false);
  if (file.is_discarded()) return Failure{"it is not whole JSON"};
  try {
    return kept_in(file);
  } catch (const std::exception& problem) {
    return Failure{problem.what()};
  }
}

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
