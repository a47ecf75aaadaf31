#include "support/places.hpp"

namespace support {

std::string binary_dir() {
  return STILLWELL_BINARY_DIR;
}

}  // namespace support
