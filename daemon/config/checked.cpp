#include "stillwell/config/checked.hpp"

#include "stillwell/config/forms.hpp"
#include "stillwell/config/near_miss.hpp"
#include "stillwell/config/parts.hpp"

#include <algorithm>
#include <set>

namespace stillwell::config {
namespace {

std::string in_quotes(std::string_view text) {
  return "'" + std::string(text) + "'";
}

std::string joined(Words words, std::string_view between) {
  std::string text;
  for (const std::string_view word : words)
    text += (text.empty() ? "" : std::string(between)) + std::string(word);
  return text;
}

bool contains(Words words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

class Checker {
 public:
  Checker(const Item& root, Problems& problems) : root_{root}, problems_{problems} {
    nothing_written_.type = Item::Type::map;
  }

  Checked check(const Item& item, const Section& section, Spot spot) {
    Checked checked;
    checked.spot = std::move(spot);
    if (const auto map = spelled_out(item, section)) {
      check_map(*map, section, checked);
    } else if (item.type == Item::Type::map && section.form != Form::row) {
      check_map(item, section, checked);
    } else {
      const std::string_view found = item.type == Item::Type::nothing ? ", found nothing" : "";
      tell(checked.spot, "expected " + expected_form(section) + std::string(found));
    }
    return checked;
  }

 private:
  void tell(const Spot& spot, std::string text) { problems_.add(spot.place, spot.path, std::move(text)); }

  void check_map(const Item& item, const Section& section, Checked& checked) {
    const Parts parts = parts_of(item, section);
    check_names(item, parts, checked.spot);
    std::set<std::string_view> taken;  // a key that stands in two parts is one key
    for (const std::string_view name : names_of(parts)) {
      if (!taken.insert(name).second) continue;
      if (auto field = take(item, *find(parts, name), checked.spot))
        checked.fields.emplace(name, std::move(*field));
    }
    // Which keys belong together can be said only once it is clear which of several was meant.
    if (!check_one_of(item, section, checked.spot)) return;
    for (const Section* part : parts)
      check_when(item, *part, checked.spot);
    check_strays(item, parts, checked.spot);
  }

  void check_names(const Item& item, const Parts& parts, const Spot& spot) {
    for (const Entry& entry : item.entries) {
      if (find(parts, entry.key) != nullptr || rule_that_adds(*parts.front(), entry.key) != nullptr) continue;
      const Spot here{entry.place, spot.under(entry.key)};
      tell(here, "unknown key; " + suggestion(entry.key, names_of(parts)));
    }
  }

  /// Keys that would stand here if another had another word. Of a word that was told to be none, nothing is
  /// said.
  void check_strays(const Item& item, const Parts& parts, const Spot& spot) {
    for (const Entry& entry : item.entries) {
      const When* rule =
          find(parts, entry.key) != nullptr ? nullptr : rule_that_adds(*parts.front(), entry.key);
      if (rule == nullptr) continue;
      const Entry* word = item.find(rule->key);
      const bool is_word = word != nullptr && read_value(*find(parts, rule->key), word->value);
      const Spot here{entry.place, spot.under(entry.key)};
      if (word == nullptr) tell(here, "has no meaning without " + std::string(rule->key));
      if (is_word) tell(here, no_meaning_with(*word, word->value.text));
    }
  }

  static std::string no_meaning_with(const Entry& entry, std::string_view word) {
    return "has no meaning together with " + entry.key + (word.empty() ? "" : ": " + std::string(word));
  }

  /// The field of a key: from the file or its default. Nothing when there is neither.
  std::optional<Field> take(const Item& item, const Key& key, const Spot& spot) {
    if (const Entry* entry = item.find(key.name)) return take_written(*entry, key, spot);
    if (key.required) {
      tell(spot, "missing key " + in_quotes(key.name) + "; expected " + expectation(key) + ": " +
                     std::string(key.doc));
    }
    if (key.fallback.empty()) return {};
    Field field;
    field.place = spot.place;
    if (key.kind == Kind::section) {
      field.parts.push_back(check(nothing_written_, *key.section, {spot.place, spot.under(key.name)}));
    } else {
      field.values.push_back(*parse_value(key, key.fallback));
    }
    return field;
  }

  Field take_written(const Entry& entry, const Key& key, const Spot& spot) {
    const Spot here{entry.value.place, spot.under(key.name)};
    Field field;
    field.place = here.place;
    field.written = true;
    if (key.list) {
      take_list(entry.value, key, here, field);
    } else if (key.kind == Kind::section) {
      field.parts.push_back(check(entry.value, *key.section, {entry.place, here.path}));
    } else if (key.kind == Kind::named) {
      field.parts = check_named(entry, key, here);
    } else {
      check_value(entry.value, key, here, field.values);
    }
    return field;
  }

  std::vector<Checked> check_named(const Entry& entry, const Key& key, const Spot& spot) {
    std::vector<Checked> all;
    if (entry.value.type != Item::Type::map) {
      tell(spot, "expected a map of ids, each to the keys of a " + std::string(key.section->name));
      return all;
    }
    for (const Entry& one : entry.value.entries) {
      const Spot here{one.place, spot.under(one.key)};
      check_id(one.key, here);
      all.push_back(check(one.value, *key.section, here));
      all.back().id = one.key;
    }
    return all;
  }

  void check_id(const std::string& id, const Spot& spot) {
    constexpr Key kAnId{.name = "id", .kind = Kind::id};
    if (const auto value = parse_value(kAnId, id); !value) tell(spot, value.error());
  }

  void take_list(const Item& item, const Key& key, const Spot& spot, Field& field) {
    if (key.bare && item.type != Item::Type::list) {
      if (key.kind == Kind::section) {
        field.parts.push_back(check(item, *key.section, spot));
      } else {
        check_value(item, key, spot, field.values);
      }
      return;
    }
    const bool counts = key.items == 0 ? item.items.size() >= key.fewest : item.items.size() == key.items;
    if (item.type != Item::Type::list || !counts) {
      const std::string_view or_more = key.fewest > 1 ? "two or more" : "one or more";
      const std::string count = key.items == 0 ? std::string(or_more) : std::to_string(key.items);
      tell(spot, "expected " + std::string(key.bare ? "one alone, or " : "") + "a list of " + count +
                     ", such as [ … ], each " + expectation(key));
      return;
    }
    for (std::size_t i = 0; i < item.items.size(); ++i) {
      const Item& one = item.items[i];
      const Spot here{one.place, spot.path + "[" + std::to_string(i) + "]"};
      if (key.kind == Kind::section) {
        field.parts.push_back(check(one, *key.section, here));
      } else {
        check_value(one, key, here, field.values);
      }
    }
  }

  void check_value(const Item& item, const Key& key, const Spot& spot, std::vector<Value>& values) {
    const auto value = read_value(key, item);
    if (!value) return tell(spot, value.error());
    if (key.kind == Kind::reference && !resolves(item.text, key, spot)) return;
    values.push_back(*value);
  }

  bool resolves(const std::string& id, const Key& key, const Spot& spot) {
    if (contains(key.words, id)) return true;
    std::vector<std::string_view> ids;
    if (const Entry* section = root_.find(key.refers)) {
      for (const Entry& entry : section->value.entries)
        ids.emplace_back(entry.key);
    }
    if (contains(ids, id)) return true;
    ids.insert(ids.end(), key.words.begin(), key.words.end());
    tell(spot, "there is no " + in_quotes(id) + " among the " + std::string(key.refers) + "; " +
                   suggestion(id, ids));
    return false;
  }

  bool check_one_of(const Item& item, const Section& section, const Spot& spot) {
    bool kept = true;
    for (const OneOf& rule : section.one_of) {
      std::vector<const Entry*> written;
      for (const std::string_view name : rule.keys) {
        if (const Entry* entry = item.find(name)) written.push_back(entry);
      }
      if (written.size() == 1) continue;
      kept = false;
      const std::string expected = "expected exactly one of " + joined(rule.keys, " | ");
      if (written.empty()) tell(spot, expected);
      for (std::size_t i = 1; i < written.size(); ++i) {
        tell({written[i]->place, spot.under(written[i]->key)},
             expected + ", and " + in_quotes(written.front()->key) + " is given too");
      }
    }
    return kept;
  }

  void check_when(const Item& item, const Section& section, const Spot& spot) {
    for (const When& rule : section.when) {
      if (!applies(rule, item)) continue;
      const std::string reason =
          std::string(rule.key) + (rule.word.empty() ? "" : ": " + std::string(rule.word));
      for (const std::string_view name : rule.needs) {
        if (item.find(name) == nullptr)
          tell(spot, "missing key " + in_quotes(name) + "; " + reason + " needs it");
      }
      for (const std::string_view name : rule.forbids) {
        const Entry* extra = item.find(name);
        if (extra != nullptr)
          tell({extra->place, spot.under(name)}, no_meaning_with(*item.find(rule.key), rule.word));
      }
    }
  }

  const Item& root_;
  Problems& problems_;
  Item nothing_written_;  ///< a map without keys, from which a section of defaults is made
};

}  // namespace

const Field* Checked::find(std::string_view key) const {
  const auto found = fields.find(key);
  return found == fields.end() ? nullptr : &found->second;
}

bool Checked::has(std::string_view key) const {
  const Field* field = find(key);
  return field != nullptr && field->written;
}

std::vector<Value> Checked::list(std::string_view key) const {
  const Field* field = find(key);
  return field == nullptr ? std::vector<Value>{} : field->values;
}

const Checked* Checked::part(std::string_view key) const {
  const Field* field = find(key);
  return field == nullptr || field->parts.empty() ? nullptr : &field->parts.front();
}

const std::vector<Checked>& Checked::named(std::string_view key) const {
  static const std::vector<Checked> kNone;
  const Field* field = find(key);
  return field == nullptr ? kNone : field->parts;
}

std::optional<std::size_t> Checked::position(std::string_view section, const std::string& id_wanted) const {
  const std::vector<Checked>& all = named(section);
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Checked& one) { return one.id == id_wanted; });
  if (found == all.end()) return {};
  return static_cast<std::size_t>(found - all.begin());
}

Spot Checked::at(std::string_view key) const {
  const Field* field = find(key);
  const bool is_written = field != nullptr && field->written;
  return {is_written ? field->place : spot.place, spot.under(key)};
}

Checked check_grammar(const Item& root, Problems& problems) {
  return Checker{root, problems}.check(root, grammar(), {{1, 1}, {}});
}

}  // namespace stillwell::config
