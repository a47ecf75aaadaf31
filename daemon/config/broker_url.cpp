#include "stillwell/config/broker_url.hpp"

#include "stillwell/config/host_port.hpp"

namespace stillwell::config {
namespace {

constexpr int kPlainPort = 1883;  // as registered with IANA, as is 8883 for MQTT over TLS
constexpr int kTlsPort = 8883;

}  // namespace

Result<BrokerUrl> parse_broker_url(std::string_view text) {
  BrokerUrl url;
  url.tls = text.starts_with("mqtts://");
  if (!url.tls && !text.starts_with("mqtt://")) {
    return Failure{"'" + std::string(text) + "' does not begin with mqtt:// or mqtts://"};
  }
  const auto at = parse_host_port(text.substr(text.find("//") + 2));
  if (!at) return Failure{at.error()};
  url.host = at->host;
  url.port = at->port.value_or(url.tls ? kTlsPort : kPlainPort);
  return url;
}

}  // namespace stillwell::config
