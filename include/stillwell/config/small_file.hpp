#pragma once
// Files that a person wrote: read whole, and never more of them than makes sense.

#include "stillwell/quantity/result.hpp"

#include <cstddef>
#include <filesystem>
#include <string>

namespace stillwell::config {

/// The text of a file, cut off one byte after `most`, so that the reader can tell one that is too large.
/// Fails for what is missing, no ordinary file, or not to be read.
Result<std::string> read_small_file(const std::filesystem::path& file, std::size_t most);

}  // namespace stillwell::config
