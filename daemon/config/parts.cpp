#include "stillwell/config/parts.hpp"

#include <algorithm>

namespace stillwell::config {

bool applies(const When& rule, const Item& item) {
  const Entry* entry = item.find(rule.key);
  const Entry* exempt = rule.unless.empty() ? nullptr : item.find(rule.unless);
  if (exempt != nullptr && exempt->value.text == rule.unless_word) return false;
  return entry != nullptr && (rule.word.empty() || entry->value.text == rule.word);
}

Parts parts_of(const Item& item, const Section& section) {
  Parts parts{&section};
  for (const When& rule : section.when) {
    if (rule.adds != nullptr && applies(rule, item)) parts.push_back(rule.adds);
  }
  return parts;
}

const Key* find(const Parts& parts, std::string_view name) {
  for (const Section* part : parts) {
    if (const Key* key = find(*part, name)) return key;
  }
  return nullptr;
}

const When* rule_that_adds(const Section& section, std::string_view name) {
  const auto rule = std::ranges::find_if(section.when, [name](const When& one) {
    return one.adds != nullptr && find(*one.adds, name) != nullptr;
  });
  return rule == section.when.end() ? nullptr : &*rule;
}

std::vector<std::string_view> names_of(const Parts& parts) {
  std::vector<std::string_view> names;
  for (const Section* part : parts) {
    for (const Key& key : part->keys)
      names.push_back(key.name);
  }
  return names;
}

}  // namespace stillwell::config
