// stillwell: one program, one file a subcommand. This one only reads the command line.

#include "stillwell/command/ask.hpp"
#include "stillwell/command/chart.hpp"
#include "stillwell/command/check.hpp"
#include "stillwell/command/matrix.hpp"
#include "stillwell/command/places.hpp"
#include "stillwell/command/prove.hpp"
#include "stillwell/command/schema.hpp"
#include "stillwell/command/status.hpp"
#include "stillwell/service/daemon.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/release.hpp"

#include <iostream>
#include <string>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

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
  std::string target;
  std::string argument;
  std::string lasts;
  std::string because;
  std::function<int()> chosen;
};

void add_configuration(CLI::App& command, Line& line) {
  command.add_option("--config", line.configuration, "The configuration file")->capture_default_str();
}
void add_state(CLI::App& command, Line& line) {
  command.add_option("--state", line.state, "The state directory ($STATE_DIRECTORY)")->capture_default_str();
}
void add_socket(CLI::App& command, Line& line) {
  command
      .add_option("--socket", line.socket, "The daemon's local socket (stillwell.sock in $RUNTIME_DIRECTORY)")
      ->capture_default_str();
}
void add_json(CLI::App& command, Line& line) {
  command.add_flag("--json", line.json, "Print the result as JSON");
}

service::DaemonOptions daemon_options(const Line& line) {
  return {.configuration = line.configuration,
          .state_directory = line.state,
          .socket = line.socket,
          .version = STILLWELL_VERSION,
          .observe = line.observe};
}

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

void add_configuration_commands(CLI::App& app, Line& line) {
  CLI::App* check_command =
      app.add_subcommand("check", "Read the configuration: every error, then every finding");
  add_configuration(*check_command, line);
  add_json(*check_command, line);
  check_command->callback([&line] {
    line.chosen = [&line] { return check(line.configuration, line.json, std::cout, std::cerr); };
  });

  CLI::App* schema_command = app.add_subcommand("schema", "JSON Schema of the configuration, for editors");
  schema_command->callback([&line] { line.chosen = [] { return schema(std::cout); }; });
}

void add_chart_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand("chart", "The dip chart of a tank: what it holds at which level");
  add_configuration(*command, line);
  command->add_option("TANK", line.chart.tank, "The tank")->required();
  CLI::Option* step =
      command->add_option("--step", line.chart.step, "From the floor to the full line in steps of this")
          ->capture_default_str();
  command
      ->add_option(
          "--at", line.chart.at,
          "A file of levels, one a line: with units (25 cm), or in the first column below the header "
          "level_m as bare metres")
      ->excludes(step);
  CLI::Option* csv =
      command->add_flag("--csv", line.chart.csv, "Print comma-separated values that read back exactly");
  command->add_flag("--json", line.chart.json, "Print the result as JSON")->excludes(csv);
  command->callback([&line] {
    line.chosen = [&line] {
      line.chart.configuration = line.configuration;
      return chart(line.chart, std::cout, std::cerr);
    };
  });
}

void add_matrix_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "matrix", "What every cause does to every pump, and which alarms there are: to print and hang up");
  add_configuration(*command, line);
  command->add_flag("--modes", line.matrix.modes,
                    "What every cause does in every mode of a pump; the same for every configuration");
  CLI::Option* csv = command->add_option("--csv", line.matrix.csv,
                                         "Write comma-separated values to this file, - for stdout");
  CLI::Option* svg =
      command->add_option("--svg", line.matrix.svg, "Write a picture to this file, - for stdout")
          ->excludes(csv);
  command->add_flag("--json", line.matrix.json, "Print the result as JSON")->excludes(csv)->excludes(svg);
  command->callback([&line] {
    line.chosen = [&line] {
      line.matrix.configuration = line.configuration;
      return matrix(line.matrix, std::cout, std::cerr);
    };
  });
}

void add_prove_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "prove", "Proof test of a pump: force each cause in turn, watch its contact, write a dated record");
  add_configuration(*command, line);
  add_socket(*command, line);
  command->add_option("PUMP", line.prove.pump, "The pump")->required();
  command->add_flag("--blocked", line.prove.blocked,
                    "Leave the pump off all the while, and judge by what holds it back");
  command->add_option("--record", line.prove.record,
                      "Write the record to this new file; proof-PUMP-DATE.json in the current folder when "
                      "none is named");
  command->add_flag("--json", line.prove.json, "Print the record as JSON");
  command->callback([&line] {
    line.chosen = [&line] {
      line.prove.configuration = line.configuration;
      line.prove.socket = line.socket;
      line.prove.version = STILLWELL_VERSION;
      return prove(line.prove, std::cin, std::cout, std::cerr);
    };
  });
}

void add_status_command(CLI::App& app, Line& line) {
  CLI::App* status_command = app.add_subcommand("status", "What the running daemon sees");
  add_socket(*status_command, line);
  add_json(*status_command, line);
  status_command->add_flag("--watch", line.watch, "Go on showing it until interrupted");
  status_command->callback([&line] {
    line.chosen = [&line] {
      return status({.socket = line.socket, .json = line.json, .watch = line.watch}, std::cout, std::cerr);
    };
  });
}

/// The commands that a person gives to the running daemon.
CLI::App* add_request(CLI::App& app, Line& line, const std::string& verb, const std::string& help) {
  CLI::App* command = app.add_subcommand(verb, help);
  add_socket(*command, line);
  add_json(*command, line);
  command->callback([&line, verb] {
    line.chosen = [&line, verb] {
      return ask({.socket = line.socket,
                  .verb = verb,
                  .target = line.target,
                  .argument = line.argument,
                  .lasts = line.lasts,
                  .because = line.because,
                  .json = line.json},
                 std::cout, std::cerr);
    };
  });
  return command;
}

void add_shelving(CLI::App& app, Line& line) {
  CLI::App* shelve = add_request(app, line, "shelve", "Put an alarm aside for a time");
  shelve->add_option("ALARM", line.target, "As status shows it")->required();
  shelve->add_option("--for", line.lasts, "For how long: 1 min to 24 h")->required();
  shelve->add_option("--because", line.because, "Why, for those who come after")->required();
  add_request(app, line, "unshelve", "Bring a shelved alarm back before its time")
      ->add_option("ALARM", line.target, "As status shows it")
      ->required();
}

void add_horn(CLI::App& app, Line& line) {
  add_request(app, line, "silence", "Silence what sounds; the alarms stand until they are acknowledged")
      ->add_option("ANNUNCIATOR", line.target, "The annunciator; all of them when none is named");
  add_request(app, line, "sound-horn", "Sound an annunciator for 3 s, to hear that it can")
      ->add_option("ANNUNCIATOR", line.target, "The annunciator; all of them when none is named");
}

void add_requests(CLI::App& app, Line& line) {
  add_request(app, line, "acknowledge", "Say that an alarm was seen")
      ->add_option("ALARM", line.target, "TANK/KIND, as status shows it, or all")
      ->required();
  add_request(app, line, "reset", "End a pump's lock-out or release, or a latched alarm")
      ->add_option("PUMP|ALARM", line.target, "A pump, or an alarm as TANK/KIND")
      ->required();
  add_request(app, line, "accept", "Say that a level which jumped is right: look into the tank first")
      ->add_option("TANK", line.target, "The tank")
      ->required();
  CLI::App* mode = add_request(app, line, "mode", "Switch a pump off, or let it work by itself");
  mode->add_option("PUMP", line.target, "The pump")->required();
  mode->add_option("MODE", line.argument, "auto, hand or off")
      ->required()
      ->check(CLI::IsMember({"auto", "hand", "off"}));
  CLI::App* service =
      add_request(app, line, "service", "Take a tank or a pump out of service, or put it back");
  service->add_option("TANK|PUMP", line.target, "The tank or the pump")->required();
  service->add_option("STATE", line.argument, "in or out")->required()->check(CLI::IsMember({"in", "out"}));
  add_shelving(app, line);
  add_horn(app, line);
}

int main_of(int count, char** words) {
  CLI::App app{"stillwell, the gateway for stored water", "stillwell"};
  app.set_version_flag("--version", std::string{STILLWELL_VERSION});
  app.require_subcommand(1);
  app.footer(
      "Exit codes: 0 done; 1 done, and something needs attention; 2 usage or configuration error;\n"
      "3 the field or the daemon could not be reached; 4 refused.");
  Line line;
  add_service_commands(app, line);
  add_configuration_commands(app, line);
  add_chart_command(app, line);
  add_matrix_command(app, line);
  add_status_command(app, line);
  add_prove_command(app, line);
  add_requests(app, line);
  try {
    app.parse(count, words);
  } catch (const CLI::ParseError& error) {
    const bool asked_for = error.get_exit_code() == 0;  // --help, --version
    app.exit(error, std::cout, std::cerr);
    return asked_for ? service::kDone : service::kUsage;
  }
  return line.chosen();
}

}  // namespace
}  // namespace stillwell::command

int main(int count, char** words) {
  try {
    return stillwell::command::main_of(count, words);
  } catch (const std::exception& fault) {
    std::cerr << "stillwell: " << fault.what() << '\n';
    return stillwell::service::kUnreachable;
  }
}
