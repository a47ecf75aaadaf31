#include "stillwell/command/schema.hpp"

#include "stillwell/config/configuration.hpp"

#include <ostream>

namespace stillwell::command {

int schema(std::ostream& out) {
  out << config::schema();
  return 0;
}

}  // namespace stillwell::command
