#include "stillwell/command/mistakes.hpp"

#include "stillwell/config/near_miss.hpp"

#include <algorithm>
#include <string_view>

#include <CLI/CLI.hpp>

namespace stillwell::command {
namespace {

std::string suggested(std::string_view word, const std::vector<std::string>& candidates) {
  const std::vector<std::string_view> views{candidates.begin(), candidates.end()};
  return config::suggestion(word, views);
}

std::vector<std::string> commands_of(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands(nullptr))
    names.push_back(command->get_name());
  return names;
}

std::vector<std::string> options_of(const CLI::App& command) {
  std::vector<std::string> names;
  for (const CLI::Option* option : command.get_options())
    for (const std::string& name : option->get_lnames())
      names.push_back("--" + name);
  return names;
}

bool has(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

/// A word that nothing took.
std::string left_over(const CLI::App& app, const CLI::App* command, std::string word) {
  if (!word.starts_with("-")) {
    if (command == nullptr) return "there is no command '" + word + "'; " + suggested(word, commands_of(app));
    return "'" + word + "' is one word too many for " + command->get_name();
  }
  word.erase(std::min(word.find('='), word.size()));
  if (command == nullptr)
    return "'" + word + "' is no option without a command; " + suggested(word, options_of(app));
  const auto options = options_of(*command);
  if (has(options, word))
    return "'" + word + "' belongs behind the command: `stillwell " + command->get_name() + " " + word +
           " …`";
  return "'" + word + "' is no option of " + command->get_name() + "; " + suggested(word, options);
}

/// A word that is none of those it may be; empty when there is none such.
std::string wrong_word(const CLI::App& command) {
  for (const CLI::Option* option : command.get_options()) {
    const auto words = words_of(*option);
    if (words.empty()) continue;
    for (const std::string& given : option->results())
      if (!has(words, given))
        return "'" + given + "' is no " + option->get_name(true) + "; " + suggested(given, words);
  }
  return {};
}

/// What the library says of a command whose words were all taken.
std::string complaint(const CLI::App& command, const CLI::ParseError& error) {
  std::string text = wrong_word(command);
  return text.empty() ? command.get_name() + ": " + error.what() : text;
}

}  // namespace

std::vector<std::string> words_of(const CLI::Option& option) {
  const std::string type = option.get_type_name();
  const std::size_t from = type.find('{');
  const std::size_t to = type.find('}');
  if (from == std::string::npos || to == std::string::npos) return {};
  return CLI::detail::split(type.substr(from + 1, to - from - 1), ',');
}

std::string mistake(const CLI::App& app, const CLI::ParseError& error) {
  const auto chosen = app.get_subcommands();
  const CLI::App* command = chosen.empty() ? nullptr : chosen.front();
  const auto left = app.remaining(true);
  std::string text;
  if (!left.empty()) {
    text = left_over(app, command, left.front());
  } else if (command == nullptr) {
    text = "no command is given";
  } else {
    text = complaint(*command, error);
  }
  const bool ends = text.ends_with('?');
  const std::string of = command == nullptr ? "" : " " + command->get_name();
  return "stillwell: " + text + (ends ? " " : "; ") + "`stillwell" + of + " --help` shows " +
         (command == nullptr ? "the commands" : "how it is typed, with examples");
}

}  // namespace stillwell::command
