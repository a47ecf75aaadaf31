#include "stillwell/command/mistakes.hpp"
#include "stillwell/command/names.hpp"

#include <algorithm>
#include <cctype>

#include "commands.hpp"
#include <CLI/CLI.hpp>

namespace stillwell::manual {
namespace {

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words)
    text += (text.empty() ? "" : ",") + word;
  return text;
}

/// "PUMP|ALARM" → pump, alarm: the kinds of names that a configuration gives; empty when it is something
/// else.
std::vector<std::string> kinds_in(std::string name) {
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
  const auto known = command::name_kinds();
  std::vector<std::string> kinds = CLI::detail::split(name, '|');
  for (const std::string& kind : kinds)
    if (std::find(known.begin(), known.end(), kind) == known.end()) return {};
  return kinds;
}

/// What the shell offers: words, names of the configuration, folders, files, or nothing.
std::string offer(const CLI::Option& option) {
  if (const auto words = command::words_of(option); !words.empty()) return "words:" + joined(words);
  const std::string type = option.get_type_name();
  const auto kinds = kinds_in(option.get_positional() ? option.get_name(true) : type);
  if (!kinds.empty()) return "names:" + joined(kinds);
  if (type == "DIRECTORY") return "folders";
  return type.empty() || type == "TEXT" || type == "FILE" ? "files" : "nothing";
}

std::string entry(const std::string& array, const std::string& key, const std::string& value) {
  return "    " + array + "['" + key + "']='" + value + "'\n";
}

/// The options of one command, or of none.
std::string option_entries(const CLI::App& command, const std::string& name) {
  std::string all;
  std::string text;
  for (const CLI::Option* option : command.get_options()) {
    for (const std::string& word : option->get_lnames()) {
      all += (all.empty() ? "--" : " --") + word;
      if (option->get_items_expected_max() == 0) continue;
      std::string key = name;
      key += " --";
      key += word;
      text += entry("takes", key, offer(*option));
    }
  }
  return entry("options", name, all) + text;
}

std::string place_entry(const CLI::App& command) {
  std::string all;
  for (const CLI::Option* option : command.get_options()) {
    if (!option->get_positional()) continue;
    const bool is_last = option->get_expected_max() >= CLI::detail::expected_max_vector_size;
    all += (all.empty() ? "" : " ") + offer(*option) + (is_last ? " ..." : "");
  }
  return all.empty() ? "" : entry("places", command.get_name(), all);
}

}  // namespace

std::string completion_tables(const CLI::App& app) {
  std::string commands;
  std::string text = option_entries(app, ".");
  for (const CLI::App* command : app.get_subcommands(nullptr)) {
    commands += (commands.empty() ? "" : " ") + command->get_name();
    text += option_entries(*command, command->get_name()) + place_entry(*command);
  }
  return "    commands='" + commands + "'\n" + text;
}

}  // namespace stillwell::manual
