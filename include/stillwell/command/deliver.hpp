#pragma once
// Where a print goes.

#include <iosfwd>
#include <string>

namespace stillwell::command {

/// To `out` for an empty name or "-", otherwise into that file. Exit code: 0 done, 2 it cannot be written.
int deliver(const std::string& text, const std::string& file, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
