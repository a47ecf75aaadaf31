#pragma once
// Where this build lies. A function and not a macro, so that the same test compiles to the same object in
// every build and the compiler cache serves it there.

#include <string>

namespace support {

/// The folder of `stillwell` and `stillwell-orchard`.
std::string binary_dir();

}  // namespace support
