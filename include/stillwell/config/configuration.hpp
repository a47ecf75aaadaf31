#pragma once
// A configuration file after every check: the model for the rules, the wiring for the field, the broker for
// the report.

#include "stillwell/config/wiring.hpp"
#include "stillwell/site/model.hpp"

#include <cstddef>
#include <filesystem>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

/// What the broker may carry to us, each only when the file names it.
enum class Accept : std::uint8_t { acknowledge, silence, shelve, reset, mode };

std::string_view to_word(Accept accept);

enum class DiscoveryForm : std::uint8_t {
  device,  ///< one document of each device
  entity,  ///< one of each entity, for hubs and readers that know no other
};

/// JSON discovery documents for a hub.
struct Discovery {
  std::string prefix;  ///< of their topics
  DiscoveryForm form = DiscoveryForm::device;
  std::string status;  ///< the topic on which the hub says that it has come
};

struct Broker {
  std::string host;
  int port = 1883;
  bool tls = false;
  std::string ca;  ///< paths; variables already expanded
  std::string cert;
  std::string key;
  std::string user;
  std::string password_file;  ///< the secret itself is never part of the configuration
  std::string
      unset_variable;  ///< the first ${…} that is not in the environment: an error of the broker part alone
  std::set<Accept> accept;  ///< empty: nobody commands over the network
  std::optional<Discovery> discovery{};
};

/// The owner's program that is told of alarms and lock-outs.
struct Notify {
  std::vector<std::string> run;      ///< an absolute path, and fixed arguments
  std::vector<Priority> priorities;  ///< of the alarms that it is told; a lock-out counts as high
  std::size_t at_most = 10;          ///< calls in any hour
  Duration within{};                 ///< a call may take
  Duration again_after = std::chrono::minutes{1};  ///< a call that failed; no key, one suits every program
};

/// The log of levels (report/level_log).
struct LevelLogging {
  Duration every{};  ///< between rows
  Duration keep{};   ///< at least
};

struct Configuration {
  Model model;
  Wiring wiring;
  std::optional<Broker> broker;
  std::optional<Notify> notify;
  std::optional<LevelLogging> log_levels;
  std::string timezone;  ///< empty: the system's
  std::string checksum;  ///< of the file's text (config/checksum.hpp); files that it names are not in it
};

/// A place in the file. Both count from 1; a line of 0 means the file as a whole.
struct Place {
  int line = 0;
  int column = 0;
};

/// One thing wrong with the file, with its place and its remedy.
struct Problem {
  std::string file;
  int line = 0;      ///< from 1; 0 when the file as a whole is meant
  int column = 0;    ///< from 1
  std::string path;  ///< "tanks.header.to_floor"
  std::string text;

  [[nodiscard]] std::string to_text() const;  ///< "file:line:column: path: text"
};

/// A configuration when nothing was wrong, otherwise every problem found in one run.
struct Loaded {
  std::optional<Configuration> configuration;
  std::vector<Problem> problems;
  std::map<std::string, Place> places;  ///< of every key, by its path
};

Loaded load(const std::filesystem::path& file);
/// `file_name` stands in problems, and other files are looked for beside it.
Loaded parse(std::string_view text, const std::string& file_name);

/// JSON Schema (draft 2020-12) of the file, as indented text.
std::string schema();

enum class Severity : std::uint8_t { note, warning };

/// What `check` has to say about a configuration that is valid but unwise.
struct Finding {
  std::string code;  ///< "full-in-blanking"
  Severity severity = Severity::warning;
  std::string of;    ///< the tank, gauge, pump or line
  std::string path;  ///< of the keys it is about: "tanks.header.alarms.low"
  std::string text;  ///< with the numbers, the rule of practice behind it, and what to change
};

std::vector<Finding> examine(const Configuration& configuration);

/// Where what a finding is about stands in the file.
Place place_of(const Loaded& loaded, const Finding& finding);

}  // namespace stillwell::config
