#pragma once
// Everything that is wrong with one file, collected in one run.

#include "stillwell/config/configuration.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

class Problems {
 public:
  explicit Problems(std::string file) : file_{std::move(file)} {}

  void add(Place place, std::string path, std::string text);
  [[nodiscard]] bool none() const { return found_.empty(); }

  /// In the order of the file. A file that is wrong everywhere is cut off with a count of the rest.
  [[nodiscard]] std::vector<Problem> sorted() const;

 private:
  std::string file_;
  std::vector<Problem> found_;
};

/// Where something was written and under which name: what a problem needs to be found again.
struct Spot {
  Place place{};
  std::string path{};

  [[nodiscard]] std::string under(std::string_view key) const {
    return path.empty() ? std::string(key) : path + "." + std::string(key);
  }
};

}  // namespace stillwell::config
