#include "stillwell/report/wall_now.hpp"

namespace stillwell::report {

Stamp wall_now() {
  return std::chrono::time_point_cast<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

}  // namespace stillwell::report
