#include "stillwell/command/places.hpp"

#include <cstdlib>

namespace stillwell::command {
namespace {

std::filesystem::path from_environment(const char* name, const char* otherwise) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : otherwise;
}

}  // namespace

std::filesystem::path default_configuration() {
  return "/etc/stillwell/stillwell.yaml";
}
std::filesystem::path default_state_directory() {
  return from_environment("STATE_DIRECTORY", "/var/lib/stillwell");
}
std::filesystem::path default_socket() {
  return from_environment("RUNTIME_DIRECTORY", "/run/stillwell") / "stillwell.sock";
}

}  // namespace stillwell::command
