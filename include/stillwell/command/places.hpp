#pragma once
// Where a command looks when it is not told: the directories that the service manager hands over, or the
// usual ones.

#include <filesystem>

namespace stillwell::command {

std::filesystem::path default_configuration();    ///< /etc/stillwell/stillwell.yaml
std::filesystem::path default_state_directory();  ///< $STATE_DIRECTORY or /var/lib/stillwell
std::filesystem::path default_socket();           ///< $RUNTIME_DIRECTORY or /run/stillwell, /stillwell.sock

}  // namespace stillwell::command
