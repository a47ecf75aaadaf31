// The tables in config/README.md are printed from the grammar; the file holds them word for word.
#include "stillwell/config/grammar.hpp"
#include "stillwell/config/kinds.hpp"

#include <set>
#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

using namespace stillwell::config;

namespace {

constexpr std::string_view kBegin = "<!-- keys -->\n";
constexpr std::string_view kEnd = "<!-- end of keys -->";

std::string escaped(std::string_view text) {
  std::string result;
  for (const char letter : text)
    result += letter == '|' ? "\\|" : std::string(1, letter);
  return result;
}

std::string value_of(const Section& section) {
  const std::string name = "*" + std::string(section.name) + "*";
  switch (section.form) {
    case Form::map: return "the keys of " + name;
    case Form::map_or_word: return "a word or the keys of " + name;
    case Form::row: return "the values of " + name;
  }
  return {};
}

std::string list_of(const Key& key) {
  if (!key.list) return "";
  const std::string count = key.items == 0 ? "list" : "list of " + std::to_string(key.items);
  return key.bare ? "one, or a " + count + ": " : (key.items == 0 ? "list of: " : count + ": ");
}

std::string value_of(const Key& key) {
  if (key.kind == Kind::section) return list_of(key) + value_of(*key.section);
  if (key.kind == Kind::named) return "ids, each with the keys of *" + std::string(key.section->name) + "*";
  return list_of(key) + expectation(key);
}

std::string default_of(const Key& key) {
  if (key.required) return "**required**";
  if (!key.otherwise.empty()) return std::string(key.otherwise);
  return key.fallback.empty() || key.fallback == "{}" ? "" : "`" + std::string(key.fallback) + "`";
}

std::string listed(Words words) {
  std::string text;
  for (const std::string_view word : words)
    text += (text.empty() ? "`" : " `") + std::string(word) + "`";
  return text;
}

void print_rules(const Section& section, std::string& text) {
  for (const OneOf& rule : section.one_of)
    text += "\nExactly one of " + listed(rule.keys) + ".\n";
  for (const When& rule : section.when) {
    text += "\n`" + std::string(rule.key) + (rule.word.empty() ? "" : ": " + std::string(rule.word)) + "`";
    if (!rule.needs.empty()) text += " needs " + listed(rule.needs);
    if (!rule.forbids.empty())
      text += (rule.needs.empty() ? " forbids " : ", forbids ") + listed(rule.forbids);
    if (rule.adds != nullptr) text += " brings " + value_of(*rule.adds);
    text += ".\n";
  }
}

void print(const Section& section, std::set<std::string_view>& printed, std::string& text) {
  if (!printed.insert(section.name).second) return;
  text += "\n### " + std::string(section.name) + "\n" + std::string(section.doc) + "\n\n";
  text += "| key | value | default | meaning |\n|---|---|---|---|\n";
  for (const Key& key : section.keys) {
    text += "| `" + std::string(key.name) + "` | " + escaped(value_of(key)) + " | " + default_of(key) +
            " | " + escaped(key.doc) + " |\n";
  }
  print_rules(section, text);
  for (const Key& key : section.keys) {
    if (key.section != nullptr) print(*key.section, printed, text);
  }
  for (const When& rule : section.when) {
    if (rule.adds != nullptr) print(*rule.adds, printed, text);
  }
}

}  // namespace

TEST_CASE("reference: config/README.md holds every key as the grammar has it", "[config][documents]") {
  std::string expected;
  std::set<std::string_view> printed;
  print(grammar(), printed, expected);
  CHECK(printed.size() >= 20);

  const std::string readme = support::read_file(support::source_dir() + "/config/README.md");
  const std::size_t begin = readme.find(kBegin);
  const std::size_t end = readme.find(kEnd);
  const bool is_held = begin != std::string::npos && end != std::string::npos &&
                       readme.substr(begin + kBegin.size(), end - begin - kBegin.size()) == expected;
  const std::string fresh = support::binary_dir() + "/config-reference.md";
  if (!is_held) support::write_file(fresh, expected);
  INFO("put the text of " << fresh << " between the two marks");
  CHECK(is_held);
}
