#pragma once
// The real program, run to its end.

#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/process.hpp"

namespace support {

struct Ended {
  int exit_code = -1;
  std::string out;
  std::string err;
};

inline Ended ended(const std::vector<std::string>& argv, const std::vector<std::string>& environment = {}) {
  Process process{argv, environment};
  process.close_input();
  const auto exit_code = process.wait_exit();
  REQUIRE(exit_code);
  return {*exit_code, process.out(), process.err()};
}

inline Ended stillwell(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), binary_dir() + "/stillwell");
  return ended(arguments);
}

inline std::vector<std::string> lines_of_text(const std::string& text) {
  std::vector<std::string> lines{""};
  for (const char letter : text) {
    if (letter == '\n') {
      lines.emplace_back();
    } else {
      lines.back() += letter;
    }
  }
  return lines;
}

}  // namespace support
