#include "stillwell/report/csv.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

constexpr const char* kLineEnd = "\r\n";

std::string quoted(const std::string& field) {
  if (field.find_first_of(",\"\r\n") == std::string::npos) return field;
  std::string text = "\"";
  for (const char letter : field) {
    if (letter == '"') text += '"';
    text += letter;
  }
  return text + '"';
}

}  // namespace

std::string csv_line(const std::vector<std::string>& fields) {
  std::string line;
  for (const std::string& field : fields)
    line += (&field == &fields.front() ? "" : ",") + quoted(field);
  return line;
}

std::string to_csv(const Grid& grid) {
  std::string text = csv_line(grid.head) + kLineEnd;
  for (const auto& row : grid.rows) {
    std::vector<std::string> fields(row.size());
    std::ranges::transform(row, fields.begin(), &Cell::text);
    text += csv_line(fields) + kLineEnd;
  }
  return text;
}

}  // namespace stillwell::report
