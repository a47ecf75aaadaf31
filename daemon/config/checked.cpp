#include "stillwell/config/checked.hpp"

#include "stillwell/config/near_miss.hpp"

#include <algorithm>

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

std::vector<std::string_view> names_of(const Section& section) {
  std::vector<std::string_view> names;
  for (const Key& key : section.keys)
    names.push_back(key.name);
  return names;
}

class Checker {
 public:
  Checker(const Item& root, Problems& problems) : root_{root}, problems_{problems} {
    nothing_written_.type = Item::Type::map;
  }

  Checked check(const Item& item, const Section& section, Spot spot) {
    Checked checked;
    checked.spot = std::move(spot);
    if (item.type != Item::Type::map) {
      const std::string_view found = item.type == Item::Type::nothing ? ", found nothing" : "";
      tell(checked.spot,
           "expected a map of keys (" + joined(names_of(section), ", ") + ")" + std::string(found));
      return checked;
    }
    check_names(item, section, checked.spot);
    for (const Key& key : section.keys) {
      if (auto field = take(item, key, checked.spot)) checked.fields.emplace(key.name, std::move(*field));
    }
    // Which keys belong together can be said only once it is clear which of several was meant.
    if (check_one_of(item, section, checked.spot)) check_when(item, section, checked.spot);
    return checked;
  }

 private:
  void tell(const Spot& spot, std::string text) { problems_.add(spot.place, spot.path, std::move(text)); }

  void check_names(const Item& item, const Section& section, const Spot& spot) {
    for (const Entry& entry : item.entries) {
      if (find(section, entry.key) != nullptr) continue;
      const Spot here{entry.place, spot.under(entry.key)};
      if (contains(section.later, entry.key)) {
        tell(here, "not supported by this version; remove it, because nothing would act on it");
      } else {
        tell(here, "unknown key; " + suggestion(entry.key, names_of(section)));
      }
    }
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
    if (key.kind == Kind::section) {
      field.parts.push_back(check(entry.value, *key.section, {entry.place, here.path}));
    } else if (key.kind == Kind::named) {
      field.parts = check_named(entry, key, here);
    } else if (key.list) {
      field.values = check_list(entry.value, key, here);
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

  std::vector<Value> check_list(const Item& item, const Key& key, const Spot& spot) {
    std::vector<Value> values;
    if (item.type != Item::Type::list || item.items.empty()) {
      tell(spot, "expected a list of one or more, such as [ … ], each " + expectation(key));
      return values;
    }
    for (std::size_t i = 0; i < item.items.size(); ++i) {
      const Item& one = item.items[i];
      check_value(one, key, {one.place, spot.path + "[" + std::to_string(i) + "]"}, values);
    }
    return values;
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
      const Entry* entry = item.find(rule.key);
      if (entry == nullptr || (!rule.word.empty() && entry->value.text != rule.word)) continue;
      const std::string reason =
          std::string(rule.key) + (rule.word.empty() ? "" : ": " + std::string(rule.word));
      for (const std::string_view name : rule.needs) {
        if (item.find(name) == nullptr)
          tell(spot, "missing key " + in_quotes(name) + "; " + reason + " needs it");
      }
      for (const std::string_view name : rule.forbids) {
        const Entry* extra = item.find(name);
        if (extra != nullptr)
          tell({extra->place, spot.under(name)}, "has no meaning together with " + reason);
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
