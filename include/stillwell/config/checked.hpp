#pragma once
// The file after the grammar was applied: values with their types, defaults filled in, references known to
// exist. A value that was wrong is simply absent here, because its problem has been told.

#include "stillwell/config/grammar.hpp"
#include "stillwell/config/problems.hpp"
#include "stillwell/config/value.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

class Checked;

/// What stands under one key.
struct Field {
  Place place;
  bool written = false;        ///< by the user; otherwise it is a default
  std::vector<Value> values;   ///< one, or as many as the list has; none when it was wrong
  std::vector<Checked> parts;  ///< kind section: one, or as many as the list has. kind named: one an id, in
                               ///< the order of the file
};

class Checked {
 public:
  std::string id;  ///< of a named one
  Spot spot;
  std::map<std::string_view, Field> fields;  ///< by the names of the grammar

  /// Whether the user wrote it, rightly or wrongly.
  [[nodiscard]] bool has(std::string_view key) const;

  /// The value or the default. Empty when there is none or it was wrong.
  template <class T>
  [[nodiscard]] std::optional<T> get(std::string_view key) const {
    const Field* field = find(key);
    if (field == nullptr || field->values.empty()) return {};
    const T* value = std::get_if<T>(&field->values.front());
    return value == nullptr ? std::optional<T>{} : *value;
  }

  [[nodiscard]] std::vector<Value> list(std::string_view key) const;

  /// A section; nullptr when it is absent and has no defaults.
  [[nodiscard]] const Checked* part(std::string_view key) const;
  [[nodiscard]] const std::vector<Checked>& named(std::string_view key) const;
  /// All sections of a list of them.
  [[nodiscard]] const std::vector<Checked>& all(std::string_view key) const { return named(key); }
  /// The position of an id in a named section.
  [[nodiscard]] std::optional<std::size_t> position(std::string_view section,
                                                    const std::string& id_wanted) const;

  /// Where a key stands; the section itself when the key is not written.
  [[nodiscard]] Spot at(std::string_view key) const;

 private:
  [[nodiscard]] const Field* find(std::string_view key) const;
};

/// Applies the grammar to the root of a document. Tells every problem that the grammar can see.
Checked check_grammar(const Item& root, Problems& problems);

}  // namespace stillwell::config
