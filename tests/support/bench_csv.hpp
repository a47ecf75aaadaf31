#pragma once
// The published check values under tests/reference/, row by row. Fields may be quoted; a field is found by
// the name of its column.

#include <cstddef>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "support/places.hpp"

namespace support {

inline std::vector<std::string> split_csv(const std::string& line) {
  std::vector<std::string> fields{""};
  bool quoted = false;
  for (const char letter : line) {
    if (letter == '"') {
      quoted = !quoted;
    } else if (letter == ',' && !quoted) {
      fields.emplace_back();
    } else if (letter != '\r') {
      fields.back() += letter;
    }
  }
  return fields;
}

class Csv {
 public:
  /// `name` is a file of tests/reference/. Throws when it cannot be read: a missing table passes no test.
  explicit Csv(const std::string& name) {
    std::ifstream file{support::source_dir() + "/tests/reference/" + name};
    std::string line;
    if (!std::getline(file, line)) throw std::runtime_error("tests/reference/" + name + " cannot be read");
    columns_ = split_csv(line);
    while (std::getline(file, line))
      rows_.push_back(split_csv(line));
  }

  [[nodiscard]] std::size_t size() const { return rows_.size(); }
  [[nodiscard]] const std::string& at(std::size_t row, const std::string& column) const {
    for (std::size_t place = 0; place < columns_.size(); ++place)
      if (columns_[place] == column) return rows_.at(row).at(place);
    throw std::runtime_error("no column is named " + column);
  }

 private:
  std::vector<std::string> columns_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace support
