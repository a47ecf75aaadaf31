#pragma once
// The secret stands in a file of its own, which systemd hands over (LoadCredential=), never in the
// configuration.

#include <string>

namespace stillwell::report {

/// Its text without the newline at the end. Throws std::runtime_error with a sentence for the user.
std::string read_password(const std::string& file);

}  // namespace stillwell::report
