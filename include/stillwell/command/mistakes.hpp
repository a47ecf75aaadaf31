#pragma once
// What was wrong with a command line, and what to type instead.

#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
class ParseError;
}  // namespace CLI

namespace stillwell::command {

/// One line, for the standard error, of an app that has just failed to parse: "stillwell: there is no command
/// 'chekc'; did you mean 'check'? …".
std::string mistake(const CLI::App& app, const CLI::ParseError& error);

/// The words between the braces of an option that takes one of several; empty when it takes anything.
std::vector<std::string> words_of(const CLI::Option& option);

}  // namespace stillwell::command
