// Makes what is read beside the program: its manual pages and the completion of bash, from the command line
// itself and from the texts of the repository. Used by the build alone: stillwell-papers SOURCE_FOLDER
// OUTPUT_FOLDER

#include "stillwell/command/command_line.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <sstream>
#include <stdexcept>

#include "commands.hpp"
#include "mdoc.hpp"
#include <CLI/CLI.hpp>

namespace stillwell::manual {
namespace {

namespace fs = std::filesystem;
using Parts = std::map<std::string, std::string>;

std::string read(const fs::path& file) {
  std::ifstream in{file};
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) throw std::runtime_error(file.string() + " cannot be read");
  return text.str();
}

/// A template with each line "@name@" replaced by the part of that name.
std::string filled(const fs::path& file, const Parts& parts) {
  std::istringstream lines{read(file)};
  std::string text;
  for (std::string line; std::getline(lines, line);) {
    const bool is_mark = line.size() > 2 && line.front() == '@' && line.back() == '@';
    text += is_mark ? parts.at(line.substr(1, line.size() - 2)) : line + "\n";
  }
  return text;
}

void write(const fs::path& file, const std::string& text) {
  std::ofstream out{file};
  out << text;
  out.close();
  if (!out) throw std::runtime_error(file.string() + " cannot be written");
}

std::string exit_codes() {
  std::string text = ".Bl -tag -width Ds\n";
  for (const command::ExitCode& row : command::exit_codes())
    text += ".It " + std::to_string(row.code) + "\n" + text_lines(std::string{row.means} + ".");
  return text + ".El\n";
}

void make(const fs::path& source, const fs::path& output) {
  command::Line line;
  CLI::App app;
  command::describe(app, line);
  const fs::path templates = source / "daemon" / "manual";
  const Parts parts{
      {"cautions", from_markdown(section_of(read(source / "README.md"), "Cautions"))},
      {"commands", commands_section(app)},
      {"exit-codes", exit_codes()},
      {"configuration", from_markdown(read(source / "config" / "README.md"))},
      {"tables", completion_tables(app)},
  };
  for (const char* page : {"stillwell.1", "stillwell.yaml.5"})
    write(output / page, filled(templates / (std::string{page} + ".in"), parts));
  write(output / "stillwell", filled(templates / "completion.bash", parts));
}

}  // namespace
}  // namespace stillwell::manual

int main(int count, char** words) {
  try {
    if (count != 3) throw std::runtime_error("usage: stillwell-papers SOURCE_FOLDER OUTPUT_FOLDER");
    stillwell::manual::make(words[1], words[2]);
    return 0;
  } catch (const std::exception& fault) {
    std::cerr << "stillwell-papers: " << fault.what() << '\n';
    return 2;
  }
}
