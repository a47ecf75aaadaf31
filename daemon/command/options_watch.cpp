#include "stillwell/command/options.hpp"
#include "stillwell/command/status.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

void add_prove_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "prove", "Proof test of a pump: force each cause in turn, watch its contact, write a dated record");
  add_configuration(*command, line);
  add_socket(*command, line);
  command->add_option("PUMP", line.prove.pump, "The pump")->required();
  command->add_flag("--blocked", line.prove.blocked,
                    "Leave the pump off all the while, and judge by what holds it back");
  command
      ->add_option("--record", line.prove.record,
                   "Write the record to this new file; proof-PUMP-DATE.json in the current folder when "
                   "none is named")
      ->type_name("FILE");
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

}  // namespace

void add_watch_commands(CLI::App& app, Line& line) {
  add_status_command(app, line);
  add_prove_command(app, line);
}

}  // namespace stillwell::command
