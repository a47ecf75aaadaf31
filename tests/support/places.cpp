#include "support/places.hpp"

namespace support {

std::string source_dir() {
  return STILLWELL_SOURCE_DIR;
}

std::string binary_dir() {
  return STILLWELL_BINARY_DIR;
}

}  // namespace support
