#include "commands.hpp"

#include "stillwell/command/examples.hpp"
#include "stillwell/command/mistakes.hpp"

#include <algorithm>
#include <vector>

#include "mdoc.hpp"
#include <CLI/CLI.hpp>

namespace stillwell::manual {
namespace {

using Options = std::vector<const CLI::Option*>;

/// Without --help, which every command has.
Options options_of(const CLI::App& command) {
  return command.get_options(
      [&](const CLI::Option* option) { return option->nonpositional() && option != command.get_help_ptr(); });
}

Options places_of(const CLI::App& command) {
  return command.get_options([](const CLI::Option* option) { return option->get_positional(); });
}

bool takes_many(const CLI::Option& option) {
  return option.get_expected_max() >= CLI::detail::expected_max_vector_size;
}

/// "Fl -config Ar FILE"
std::string flag(const CLI::Option& option) {
  const bool takes = option.get_items_expected_max() > 0;
  const std::string type = option.get_type_name();
  return "Fl " + arguments("-" + option.get_lnames().front()) +
         (takes ? " Ar " + arguments(type.substr(0, type.find(':'))) : "");
}

std::string place(const CLI::Option& option) {
  return "Ar " + arguments(option.get_name(true)) + (takes_many(option) ? " ..." : "");
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words)
    text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string meaning(const CLI::Option& option) {
  std::string text = option.get_description();
  if (const auto words = command::words_of(option);
      !words.empty() && text.find(words.front()) == std::string::npos)
    text += ": " + listed(words);
  if (!option.get_default_str().empty()) text += " (default: " + option.get_default_str() + ")";
  std::vector<std::string> excluded;
  for (const CLI::Option* other : option.get_excludes())
    excluded.push_back("`" + other->get_name() + "`");
  std::sort(excluded.begin(), excluded.end());
  if (!excluded.empty()) text += "; not with " + listed(excluded);
  return text_lines(text + ".");
}

std::string synopsis(const CLI::App& command) {
  std::string text = ".Nm\n.Cm " + arguments(command.get_name()) + "\n";
  for (const CLI::Option* option : places_of(command))
    text += (option->get_required() ? "." : ".Op ") + place(*option) + "\n";
  for (const CLI::Option* option : options_of(command))
    text += (option->get_required() ? "." : ".Op ") + flag(*option) + "\n";
  return text;
}

std::string examples(const std::string& command) {
  const auto lessons = command::lessons();
  const auto lesson = std::find_if(lessons.begin(), lessons.end(),
                                   [&](const command::Lesson& row) { return row.command == command; });
  if (lesson == lessons.end()) return {};
  std::string text = ".Pp\nFor example:\n.Bl -tag -width Ds -offset indent\n";
  for (const command::Example& example : lesson->examples)
    text += ".It Li " + arguments(example.typed) + "\n" + text_lines(example.shows);
  return text + ".El\n.Pp\nNext: " + text_lines(lesson->next);
}

}  // namespace

std::string commands_section(const CLI::App& app) {
  std::string text;
  for (const CLI::App* command : app.get_subcommands(nullptr)) {
    text += ".Ss " + arguments(command->get_name()) + "\n" + synopsis(*command) + ".Pp\n" +
            text_lines(command->get_description() + ".");
    const Options places = places_of(*command);
    const Options options = options_of(*command);
    if (!places.empty() || !options.empty()) {
      text += ".Bl -tag -width Ds\n";
      for (const CLI::Option* option : places)
        text += ".It " + place(*option) + "\n" + meaning(*option);
      for (const CLI::Option* option : options)
        text += ".It " + flag(*option) + "\n" + meaning(*option);
      text += ".El\n";
    }
    text += examples(command->get_name());
  }
  return text;
}

}  // namespace stillwell::manual
