#include "stillwell/command/check.hpp"
#include "stillwell/command/options.hpp"
#include "stillwell/command/schema.hpp"

#include <iostream>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

void add_text_commands(CLI::App& app, Line& line) {
  CLI::App* check_command =
      app.add_subcommand("check", "Read the configuration: every error, then every finding");
  add_configuration(*check_command, line);
  add_json(*check_command, line);
  check_command->callback([&line] {
    line.chosen = [&line] { return check(line.configuration, line.json, std::cout, std::cerr); };
  });

  CLI::App* schema_command =
      app.add_subcommand("schema", "The JSON Schema of the configuration, for editors");
  schema_command->callback([&line] { line.chosen = [] { return schema(std::cout); }; });
}

void add_names_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "names", "What the configuration calls its tanks, pumps, alarms and the like, one a line");
  add_configuration(*command, line);
  add_json(*command, line);
  command->add_option("KIND", line.names.kinds, "What is asked for, one or several")
      ->required()
      ->check(CLI::IsMember(name_kinds()));
  command->callback([&line] {
    line.chosen = [&line] {
      line.names.configuration = line.configuration;
      line.names.json = line.json;
      return names(line.names, std::cout, std::cerr);
    };
  });
}

void add_chart_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand("chart", "The dip chart of a tank: what it holds at which level");
  add_configuration(*command, line);
  command->add_option("TANK", line.chart.tank, "The tank")->required();
  CLI::Option* step =
      command->add_option("--step", line.chart.step, "From the floor to the full line in steps of this")
          ->capture_default_str()
          ->type_name("LENGTH");
  CLI::Option* at =
      command
          ->add_option(
              "--at", line.chart.at,
              "A file of levels, one a line: with units (25 cm), or in the first column below the header "
              "level_m as bare metres")
          ->type_name("FILE")
          ->excludes(step);
  CLI::Option* csv =
      command->add_flag("--csv", line.chart.csv, "Print comma-separated values that read back exactly");
  CLI::Option* as_json =
      command->add_flag("--json", line.chart.json, "Print the result as JSON")->excludes(csv);
  command
      ->add_option("--svg", line.chart.svg, "Draw the curve and a gauge board into this file, - for stdout")
      ->type_name("FILE")
      ->excludes(step)
      ->excludes(at)
      ->excludes(csv)
      ->excludes(as_json);
  command->callback([&line] {
    line.chosen = [&line] {
      line.chart.configuration = line.configuration;
      return chart(line.chart, std::cout, std::cerr);
    };
  });
}

void add_section_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "section", "What is at which height of a tank: sensors, set points, pump levels; to print and hang up");
  add_configuration(*command, line);
  command->add_option("TANK", line.section.tank, "The tank")->required();
  CLI::Option* svg =
      command->add_option("--svg", line.section.svg, "Draw it to scale into this file, - for stdout")
          ->type_name("FILE");
  CLI::Option* csv =
      command->add_flag("--csv", line.section.csv, "Print comma-separated values")->excludes(svg);
  command->add_flag("--json", line.section.json, "Print the result as JSON")->excludes(svg)->excludes(csv);
  command->callback([&line] {
    line.chosen = [&line] {
      line.section.configuration = line.configuration;
      return section(line.section, std::cout, std::cerr);
    };
  });
}

void add_matrix_command(CLI::App& app, Line& line) {
  CLI::App* command = app.add_subcommand(
      "matrix", "What every cause does to every pump, and which alarms there are: to print and hang up");
  add_configuration(*command, line);
  command->add_flag("--modes", line.matrix.modes,
                    "What every cause does in every mode of a pump; the same for every configuration");
  CLI::Option* csv =
      command->add_option("--csv", line.matrix.csv, "Write comma-separated values to this file, - for stdout")
          ->type_name("FILE");
  CLI::Option* svg =
      command->add_option("--svg", line.matrix.svg, "Write a picture to this file, - for stdout")
          ->type_name("FILE")
          ->excludes(csv);
  command->add_flag("--json", line.matrix.json, "Print the result as JSON")->excludes(csv)->excludes(svg);
  command->callback([&line] {
    line.chosen = [&line] {
      line.matrix.configuration = line.configuration;
      return matrix(line.matrix, std::cout, std::cerr);
    };
  });
}

}  // namespace

void add_paper_commands(CLI::App& app, Line& line) {
  add_text_commands(app, line);
  add_names_command(app, line);
  add_chart_command(app, line);
  add_section_command(app, line);
  add_matrix_command(app, line);
}

}  // namespace stillwell::command
