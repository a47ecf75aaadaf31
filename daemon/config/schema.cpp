#include "stillwell/config/configuration.hpp"
#include "stillwell/config/grammar.hpp"
#include "stillwell/config/kinds.hpp"
#include "stillwell/config/value.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

namespace stillwell::config {
namespace {

using Json = nlohmann::ordered_json;

std::string definition_name(std::string_view name) {
  std::string text(name);
  for (char& letter : text)
    letter = letter == ' ' ? '-' : letter;
  return text;
}

Json reference_to(std::string_view name) {
  return {{"$ref", "#/$defs/" + definition_name(name)}};
}

Json words_of(Words words) {
  Json all = Json::array();
  for (const std::string_view word : words)
    all.push_back(word);
  return all;
}

/// A default or a limit as JSON writes it.
Json literal(const Key& key, std::string_view text) {
  switch (row_of(key.kind).written) {
    case Written::integer: return std::get<std::int64_t>(*parse_value(key, text));
    case Written::number: return std::get<double>(*parse_value(key, text));
    case Written::boolean: return text == "true";
    case Written::string: return text;
  }
  return nullptr;
}

/// Texts by pattern; quantities of a kind share one definition.
Json scalar_kind(Kind kind) {
  Json definition{{"type", "string"}};
  const std::string pattern = pattern_of(kind);
  if (!pattern.empty()) definition["pattern"] = pattern;
  if (pattern.empty()) definition["minLength"] = 1;
  definition["maxLength"] = kLongestText;
  definition["description"] = row_of(kind).expects;
  return definition;
}

Json value_schema(const Key& key) {
  switch (row_of(key.kind).written) {
    case Written::boolean: return {{"type", "boolean"}};
    case Written::integer:
    case Written::number: {
      Json schema{{"type", row_of(key.kind).written == Written::integer ? "integer" : "number"}};
      if (!key.least.empty()) schema["minimum"] = literal(key, key.least);
      if (!key.most.empty()) schema["maximum"] = literal(key, key.most);
      return schema;
    }
    case Written::string: break;
  }
  if (key.kind == Kind::word) return {{"enum", words_of(key.words)}};
  return reference_to(row_of(key.kind == Kind::reference ? Kind::id : key.kind).name);
}

std::string described(const Key& key) {
  std::string text(key.doc);
  if (key.kind == Kind::reference) text += "; one of the " + std::string(key.refers);
  if (!key.least.empty() && row_of(key.kind).written == Written::string) text += " (" + limits_of(key) + ")";
  if (!key.otherwise.empty()) text += "; default: " + std::string(key.otherwise);
  return text;
}

Json named_schema(const Key& key) {
  return {{"type", "object"},
          {"propertyNames", reference_to(row_of(Kind::id).name)},
          {"additionalProperties", reference_to(key.section->name)}};
}

Json list_schema(const Key& key, const Json& one) {
  Json list{{"type", "array"}, {"minItems", std::max(key.items, key.fewest)}, {"items", one}};
  if (key.items > 0) list["maxItems"] = key.items;
  return key.bare ? Json{{"anyOf", {one, list}}} : list;
}

Json key_schema(const Key& key) {
  Json schema;
  if (key.kind == Kind::section) {
    schema = reference_to(key.section->name);
  } else {
    schema = key.kind == Kind::named ? named_schema(key) : value_schema(key);
  }
  if (key.list) schema = list_schema(key, schema);
  schema["description"] = key.section != nullptr ? std::string(key.doc) : described(key);
  if (!key.fallback.empty() && key.section == nullptr) schema["default"] = literal(key, key.fallback);
  return schema;
}

Json one_of_schema(const OneOf& rule) {
  Json choices = Json::array();
  for (const std::string_view key : rule.keys)
    choices.push_back({{"required", {key}}});
  return {{"oneOf", choices}};
}

Json when_schema(const When& rule) {
  Json condition{{"required", {rule.key}}};
  if (!rule.word.empty()) condition["properties"][std::string(rule.key)] = {{"const", rule.word}};
  if (!rule.unless.empty()) {
    condition["not"] = {{"required", {rule.unless}},
                        {"properties", {{std::string(rule.unless), {{"const", rule.unless_word}}}}}};
  }
  Json consequence = Json::object();
  if (!rule.needs.empty()) consequence["required"] = words_of(rule.needs);
  for (const std::string_view key : rule.forbids)
    consequence["properties"][std::string(key)] = false;
  if (rule.adds != nullptr) consequence["$ref"] = reference_to(rule.adds->name)["$ref"];
  return {{"if", condition}, {"then", consequence}};
}

/// Whether other keys are refused: nowhere while the section stands beside another, which refuses them.
enum class Closed : std::uint8_t { no, yes };

Json map_schema(const Section& section, Closed closed) {
  Json schema{{"type", "object"}, {"description", section.doc}};
  // What a rule brings is seen only by the keyword that looks into the rules too.
  if (closed == Closed::yes)
    schema[grows(section) ? "unevaluatedProperties" : "additionalProperties"] = false;
  Json required = Json::array();
  for (const Key& key : section.keys) {
    schema["properties"][std::string(key.name)] = key_schema(key);
    if (key.required) required.push_back(key.name);
  }
  if (!required.empty()) schema["required"] = required;
  for (const OneOf& rule : section.one_of)
    schema["allOf"].push_back(one_of_schema(rule));
  for (const When& rule : section.when)
    schema["allOf"].push_back(when_schema(rule));
  return schema;
}

Json row_schema(const Section& section) {
  Json schema{{"type", "array"}, {"description", section.doc}};
  for (const Key& key : section.keys)
    schema["prefixItems"].push_back(key_schema(key));
  schema["minItems"] = section.keys.size();
  schema["items"] = false;
  return schema;
}

/// The words that may stand alone: those that need no other key.
Json words_alone(const Section& section) {
  Json words = Json::array();
  for (const std::string_view word : section.keys.front().words) {
    const bool needs = std::ranges::any_of(
        section.when, [word](const When& rule) { return rule.word == word && !rule.needs.empty(); });
    if (!needs) words.push_back(word);
  }
  return words;
}

Json section_schema(const Section& section) {
  switch (section.form) {
    case Form::map: return map_schema(section, Closed::yes);
    case Form::row: return row_schema(section);
    case Form::map_or_word: break;
  }
  // A word alone is the value of the first key: one of its words, or a name.
  const Key& first = section.keys.front();
  const Json word = first.kind == Kind::word ? Json{{"enum", words_alone(section)}} : value_schema(first);
  return {{"description", section.doc}, {"anyOf", {word, map_schema(section, Closed::yes)}}};
}

void define(const Section& section, Json& definitions);

/// A section and all below it, once.
void define(const Section& section, const Json& schema, Json& definitions) {
  const std::string name = definition_name(section.name);
  if (definitions.contains(name)) return;
  definitions[name] = schema;
  define(section, definitions);
}

/// Every section and every kind that is used below a section, each once.
void define(const Section& section, Json& definitions) {
  for (const Key& key : section.keys) {
    if (key.section != nullptr) {
      define(*key.section, section_schema(*key.section), definitions);
    } else if (row_of(key.kind).written == Written::string && key.kind != Kind::word &&
               key.kind != Kind::reference) {
      definitions[std::string(row_of(key.kind).name)] = scalar_kind(key.kind);
    }
  }
  for (const When& rule : section.when) {
    if (rule.adds != nullptr) define(*rule.adds, map_schema(*rule.adds, Closed::no), definitions);
  }
}

}  // namespace

std::string schema() {
  Json document{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                {"title", "stillwell configuration"}};
  document.update(section_schema(grammar()));
  Json definitions = Json::object();
  define(grammar(), definitions);
  document["$defs"] = definitions;
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace stillwell::config
