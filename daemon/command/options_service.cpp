#include "stillwell/command/options.hpp"
#include "stillwell/service/daemon.hpp"
#include "stillwell/service/release.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

service::DaemonOptions daemon_options(const Line& line) {
  return {.configuration = line.configuration,
          .state_directory = line.state,
          .socket = line.socket,
          .version = STILLWELL_VERSION,
          .observe = line.observe};
}

}  // namespace

void add_service_commands(CLI::App& app, Line& line) {
  CLI::App* run = app.add_subcommand("run", "The daemon: scan, control, publish");
  add_configuration(*run, line);
  add_state(*run, line);
  add_socket(*run, line);
  run->add_flag("--observe", line.observe,
                "Hold every contact off, and tell what would start and stop; keeps and reads no state");
  run->callback([&line] { line.chosen = [&line] { return service::run(daemon_options(line), std::cerr); }; });

  CLI::App* release = app.add_subcommand(
      "release", "Write every contact off; a running daemon holds every pump off until it is reset");
  add_configuration(*release, line);
  add_state(*release, line);
  add_socket(*release, line);
  release->callback([&line] {
    line.chosen = [&line] {
      return service::release(daemon_options(line), service::caller_of_this_program(), std::cout, std::cerr);
    };
  });
}

}  // namespace stillwell::command
