#pragma once
// The source tree as the architecture tests read it: files, lines, and who includes what.

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "support/places.hpp"

namespace support {

inline const std::filesystem::path& source_root() {
  static const std::filesystem::path root{support::source_dir()};
  return root;
}

inline std::vector<std::string> lines_of(const std::filesystem::path& file) {
  std::ifstream in{file};
  if (!in) throw std::runtime_error(file.string() + " cannot be read");
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);)
    lines.push_back(line);
  return lines;
}

/// Every C++ file under a folder of the source tree, relative to its root, in order of name.
inline std::vector<std::filesystem::path> cpp_files(const std::string& folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator{source_root() / folder}) {
    const auto extension = entry.path().extension();
    if (entry.is_regular_file() && (extension == ".hpp" || extension == ".cpp"))
      files.push_back(std::filesystem::relative(entry.path(), source_root()));
  }
  std::sort(files.begin(), files.end());
  return files;
}

struct Include {
  std::filesystem::path file;  ///< that includes
  std::size_t line = 0;
  std::string what;    ///< without its brackets or quotes
  bool angle = false;  ///< in <>
};

inline std::vector<Include> includes_of(const std::filesystem::path& file) {
  std::vector<Include> found;
  const auto lines = lines_of(source_root() / file);
  for (std::size_t at = 0; at < lines.size(); ++at) {
    const std::string& line = lines[at];
    const auto hash = line.find_first_not_of(" \t");
    if (hash == std::string::npos || line[hash] != '#') continue;
    const auto word = line.find("include", hash);
    if (word == std::string::npos) continue;
    const auto open = line.find_first_of("<\"", word);
    if (open == std::string::npos)
      throw std::runtime_error(file.string() + ": an include of a macro: " + line);
    const auto close = line.find_first_of(">\"", open + 1);
    found.push_back({file, at + 1, line.substr(open + 1, close - open - 1), line[open] == '<'});
  }
  return found;
}

inline std::string where(const Include& include) {
  return include.file.string() + ":" + std::to_string(include.line) + " includes " + include.what;
}

}  // namespace support
