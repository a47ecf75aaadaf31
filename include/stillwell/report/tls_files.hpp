#pragma once
// Whether the files that the configuration names for TLS are what they should be. The MQTT library, given a
// wrong one, says only that there is no connection, and for a key with a pass phrase it asks the terminal.

#include "stillwell/config/configuration.hpp"

namespace stillwell::report {

/// Throws std::runtime_error with a sentence for the user that names the file.
void require_tls_files(const config::Broker& broker);

}  // namespace stillwell::report
