#include "stillwell/command/options.hpp"
#include "stillwell/command/sound.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

void add_sound_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "sound",
      "Take soundings of gauges now: how many come, how far they scatter, what a tape would measure");
  add_configuration(*command, line);
  add_socket(*command, line);
  command->add_option("GAUGE", line.sound.gauges, "The gauges")->required();
  command->add_option("--for", line.sound.lasts, "How long; 1 s to 60 min")
      ->capture_default_str()
      ->type_name("TIME");
  CLI::Option* empty =
      command->add_flag("--empty", line.sound.empty, "The tank is empty: propose to_floor for it");
  command->add_flag("--full", line.sound.full, "It is full to the line: propose to_full")->excludes(empty);
  command->add_flag("--json", line.sound.json, "Print the result as JSON");
  command->callback([&line] {
    line.chosen = [&line] {
      line.sound.configuration = line.configuration;
      line.sound.socket = line.socket;
      return sound(line.sound, std::cout, std::cerr);
    };
  });
}

void add_search_command(CLI::App& app, Line& line) {
  SearchRequest& request = line.search;
  CLI::App* command = app.add_subcommand(
      "search",
      "Find what answers, or talks, on a serial line; only reads, one register at a time (functions 3 "
      "and 4)");
  add_configuration(*command, line);
  add_socket(*command, line);
  command->add_option("LINE", request.line, "A line of the configuration, or a device such as /dev/ttyUSB0")
      ->required();
  command
      ->add_option("--speeds", request.speeds,
                   "\"9600 8N1, 19200 8E1\"; otherwise the line's own, then the usual ones")
      ->type_name("SPEEDS");
  command->add_option("--stations", request.stations, "The stations that are asked")
      ->capture_default_str()
      ->type_name("STATIONS");
  command->add_option("--reply-within", request.reply_within, "How long a reply may take; 20 ms to 5 s")
      ->capture_default_str()
      ->type_name("TIME");
  command->add_flag("--all", request.all, "Go on when something was recognized");
  command->add_flag("--json", request.json, "Print the result as JSON");
  command->callback([&line] {
    line.chosen = [&line] {
      line.search.configuration = line.configuration;
      line.search.socket = line.socket;
      return search(line.search, std::cout, std::cerr);
    };
  });
}

}  // namespace

void add_commission_commands(CLI::App& app, Line& line) {
  add_search_command(app, line);
  add_sound_command(app, line);
}

}  // namespace stillwell::command
