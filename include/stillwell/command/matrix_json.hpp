#pragma once
// The matrix for programs.

#include "stillwell/report/matrix.hpp"

#include <string>

namespace stillwell::command {

/// Indented JSON: {"site":…,"configuration":…,"crc_32":…,"causes":[…],"alarms":[…]}.
std::string matrix_json(const report::Matrix& matrix, const std::string& site, const std::string& file,
                        const std::string& checksum);
/// {"modes":[{"cause":…,"auto":…,…}]}
std::string modes_json();

}  // namespace stillwell::command
