#include "stillwell/command/options.hpp"

#include <iostream>

#include <CLI/CLI.hpp>
namespace stillwell::command {

void add_rehearse_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "rehearse", "The same rules over a recording or a simulated plant, faster than real time");
  add_configuration(*command, line);
  RehearseRequest& asked = line.rehearse;
  command
      ->add_option("SCENARIO", asked.scenario,
                   "A recording (.csv), or what is laid upon the simulated plant (.yaml)")
      ->required();
  command
      ->add_option("--for", asked.lasts, "How long; a day when nothing is said, a recording as long as it is")
      ->type_name("TIME");
  command
      ->add_option("--begins", asked.begins,
                   "What the wall clock shows at first, in UTC; a recording may say it itself")
      ->capture_default_str()
      ->type_name("STAMP");
  command->add_option("--csv", asked.csv, "Write the course to this file, - for stdout")->type_name("FILE");
  command->add_option("--every", asked.every, "Between the rows of that file")
      ->capture_default_str()
      ->type_name("TIME");
  command->add_option("--svg", asked.svg, "Write a strip chart to this file, - for stdout")
      ->type_name("FILE");
  command
      ->add_option("--against", asked.against,
                   "What `rehearse --json` printed before: tell what is different now")
      ->type_name("FILE");
  add_json(*command, line);
  command->callback([&line] {
    line.chosen = [&line] {
      line.rehearse.configuration = line.configuration;
      line.rehearse.json = line.json;
      return rehearse(line.rehearse, std::cout, std::cerr);
    };
  });
}

}  // namespace stillwell::command
