#include "stillwell/config/broker_url.hpp"

#include <charconv>

namespace stillwell::config {
namespace {

constexpr int kPlainPort = 1883;  // as registered with IANA, as is 8883 for MQTT over TLS
constexpr int kTlsPort = 8883;
constexpr int kHighestPort = 65535;

}  // namespace

Result<BrokerUrl> parse_broker_url(std::string_view text) {
  const std::string whole(text);
  BrokerUrl url;
  url.tls = text.starts_with("mqtts://");
  if (!url.tls && !text.starts_with("mqtt://")) {
    return Failure{"'" + whole + "' does not begin with mqtt:// or mqtts://"};
  }
  url.port = url.tls ? kTlsPort : kPlainPort;
  const std::string_view address = text.substr(text.find("//") + 2);
  const bool bracketed = address.starts_with('[');
  const std::size_t host_end = bracketed ? address.find(']') : address.find(':');
  const std::string_view host = address.substr(bracketed ? 1 : 0, bracketed ? host_end - 1 : host_end);
  if (host.empty() || (bracketed && host_end == std::string_view::npos))
    return Failure{"'" + whole + "' names no host"};
  url.host = std::string(host);

  const std::size_t colon = bracketed ? host_end + 1 : host_end;
  if (colon >= address.size()) return url;
  const std::string_view port = address.substr(colon + 1);
  const auto [end, error] = std::from_chars(port.data(), port.data() + port.size(), url.port);
  const bool is_port = address[colon] == ':' && error == std::errc{} && end == port.data() + port.size() &&
                       url.port >= 1 && url.port <= kHighestPort;
  if (!is_port) return Failure{"'" + whole + "' has no port from 1 to 65535 after its host"};
  return url;
}

}  // namespace stillwell::config
