#include "stillwell/command/ask.hpp"
#include "stillwell/command/options.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

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
  shelve->add_option("--for", line.lasts, "For how long: 1 min to 24 h")->required()->type_name("TIME");
  shelve->add_option("--because", line.because, "Why, for those who come after")
      ->required()
      ->type_name("REASON");
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

}  // namespace

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

}  // namespace stillwell::command
