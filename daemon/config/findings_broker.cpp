// Findings about the broker.
#include "stillwell/config/findings.hpp"

namespace stillwell::config {
namespace {

/// 127.0.0.0/8 (RFC 1122, 3.2.1.3); a name that only begins like it is none.
bool is_loopback(const std::string& host) {
  const bool is_number = host.find_first_not_of("0123456789.") == std::string::npos;
  return host == "localhost" || host == "::1" || (is_number && host.starts_with("127."));
}

/// What somebody in between could send: " and command acknowledge, mode".
std::string what_may_be_sent(const Broker& broker) {
  std::string words;
  for (const Accept accept : broker.accept)
    words += (words.empty() ? " and command " : ", ") + std::string(to_word(accept));
  return words;
}

}  // namespace

void find_broker_without_tls(const Configuration& configuration, Findings& findings) {
  if (!configuration.broker) return;
  const Broker& broker = *configuration.broker;
  if (is_loopback(broker.host)) return;
  if (!broker.tls) {
    findings.warn("broker-without-tls", {"broker", broker.host},
                  "levels" + std::string(broker.user.empty() ? "" : " and the password") +
                      " cross the network in the clear, and anybody on it can pose as the broker" +
                      what_may_be_sent(broker) +
                      ". MQTT without TLS is "
                      "for loopback only (OASIS MQTT 5.0, 5.4): write the url with mqtts:// and give ca");
  }
  if (broker.user.empty() && broker.cert.empty()) {
    findings.warn("broker-without-login", {"broker", broker.host},
                  "the broker has no way to tell this gateway from anybody else. Off loopback a client "
                  "proves who it is "
                  "(OASIS MQTT 5.0, 5.4.1): give user and password_file, or cert and key");
  }
}

void find_unset_variable(const Configuration& configuration, Findings& findings) {
  if (!configuration.broker || configuration.broker->unset_variable.empty()) return;
  const std::string& name = configuration.broker->unset_variable;
  const std::string text = "${" + name +
                           "} is not in the environment; as long as it is not, the broker part does not "
                           "start, and control goes on without it. ";
  if (name ==
      "CREDENTIALS_DIRECTORY") {  // systemd sets it for a service alone, so a check by hand never sees it
    findings.note("unset-variable", {"broker", "broker"},
                  text + "systemd sets it in a service with LoadCredential=");
  } else {
    findings.warn("unset-variable", {"broker", "broker"}, text + "Set it, or write the path out");
  }
}

}  // namespace stillwell::config
