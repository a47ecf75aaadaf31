#pragma once
// What is made of the command line.

#include <string>

namespace CLI {
class App;
}

namespace stillwell::manual {

/// A subsection of mdoc for every command: how it is typed, its words and options, examples.
std::string commands_section(const CLI::App& app);

/// Every command, its options and what they take, as entries of the arrays in completion.bash.
std::string completion_tables(const CLI::App& app);

}  // namespace stillwell::manual
