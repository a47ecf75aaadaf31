#include "stillwell/command/options.hpp"

#include <CLI/CLI.hpp>

namespace stillwell::command {

void add_configuration(CLI::App& command, Line& line) {
  command.add_option("--config", line.configuration, "The configuration file")
      ->capture_default_str()
      ->type_name("FILE");
}
void add_state(CLI::App& command, Line& line) {
  command.add_option("--state", line.state, "The state directory ($STATE_DIRECTORY)")
      ->capture_default_str()
      ->type_name("DIRECTORY");
}
void add_socket(CLI::App& command, Line& line) {
  command
      .add_option("--socket", line.socket, "The daemon's local socket (stillwell.sock in $RUNTIME_DIRECTORY)")
      ->capture_default_str()
      ->type_name("FILE");
}
void add_json(CLI::App& command, Line& line) {
  command.add_flag("--json", line.json, "Print the result as JSON");
}

}  // namespace stillwell::command
