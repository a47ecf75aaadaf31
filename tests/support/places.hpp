#pragma once
// Where the tests' files lie. Functions and not macros, so that the same test compiles to the same object in
// every build and in every checkout, and the compiler cache serves it there.

#include <string>

namespace support {

/// The root of the repository.
std::string source_dir();
/// The folder of `stillwell` and `stillwell-orchard`.
std::string binary_dir();

}  // namespace support
