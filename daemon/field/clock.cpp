#include "stillwell/field/clock.hpp"

namespace stillwell::field {

Instant now() {
  return Instant{std::chrono::steady_clock::now().time_since_epoch()};
}

}  // namespace stillwell::field
