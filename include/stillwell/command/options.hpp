#pragma once
// The command line: one function for each group of commands, which says what they take and what then is done.

#include "stillwell/command/chart.hpp"
#include "stillwell/command/matrix.hpp"
#include "stillwell/command/names.hpp"
#include "stillwell/command/places.hpp"
#include "stillwell/command/prove.hpp"
#include "stillwell/command/rehearse.hpp"
#include "stillwell/command/search.hpp"
#include "stillwell/command/section.hpp"
#include "stillwell/command/sound.hpp"

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace stillwell::command {

/// Everything that an option can set, and the command that was chosen.
struct Line {
  std::string configuration = default_configuration();
  std::string state = default_state_directory();
  std::string socket = default_socket();
  bool json = false;
  bool watch = false;
  bool observe = false;
  ProveRequest prove;
  ChartRequest chart{.step = "1 cm"};
  MatrixRequest matrix;
  RehearseRequest rehearse;
  NamesRequest names;
  SectionRequest section;
  SoundRequest sound;
  SearchRequest search;
  std::string target;
  std::string argument;
  std::string lasts;
  std::string because;
  std::function<int()> chosen;
};

void add_configuration(CLI::App& command, Line& line);
void add_state(CLI::App& command, Line& line);
void add_socket(CLI::App& command, Line& line);
void add_json(CLI::App& command, Line& line);

/// `run` and `release`.
void add_service_commands(CLI::App& app, Line& line);
/// What is made of a configuration alone: `check`, `schema`, `names`, `chart`, `section`, `matrix`.
void add_paper_commands(CLI::App& app, Line& line);
void add_rehearse_command(CLI::App& app, Line& line);
/// Looking at a daemon, and trying it: `status`, `prove`.
void add_watch_commands(CLI::App& app, Line& line);
/// Putting a sensor into use: `search`, `sound`.
void add_commission_commands(CLI::App& app, Line& line);
/// What a person says to a running daemon.
void add_requests(CLI::App& app, Line& line);

}  // namespace stillwell::command
