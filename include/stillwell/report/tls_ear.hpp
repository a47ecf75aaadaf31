#pragma once
// What the MQTT library says of its TLS handshakes. Only its trace tells it, which is one for the process; so
// is this, and so is the client of a gateway. (Its error handler knows less, and is called where a copy of
// the options was once: version 1.2.0.)

#include <string>

namespace stillwell::report {

/// From now on, for ever.
void listen_to_tls();
/// Why the newest attempt failed (TlsTrouble::text).
std::string tls_trouble_heard(bool has_certificate);

}  // namespace stillwell::report
