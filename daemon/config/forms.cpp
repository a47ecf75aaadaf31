#include "stillwell/config/forms.hpp"

namespace stillwell::config {

std::optional<Item> spelled_out(const Item& item, const Section& section) {
  Item map;
  map.type = Item::Type::map;
  map.place = item.place;
  if (section.form == Form::map_or_word && item.type == Item::Type::scalar) {
    map.entries.push_back({std::string(section.keys.front().name), item.place, item});
    return map;
  }
  if (section.form == Form::row && item.type == Item::Type::list &&
      item.items.size() == section.keys.size()) {
    for (std::size_t i = 0; i < item.items.size(); ++i)
      map.entries.push_back({std::string(section.keys[i].name), item.items[i].place, item.items[i]});
    return map;
  }
  return std::nullopt;
}

}  // namespace stillwell::config
