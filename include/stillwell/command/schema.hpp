#pragma once
// `stillwell schema`: the JSON Schema of the configuration, for editors.

#include <iosfwd>

namespace stillwell::command {

/// Returns 0.
int schema(std::ostream& out);

}  // namespace stillwell::command
