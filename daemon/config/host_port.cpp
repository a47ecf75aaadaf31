#include "stillwell/config/host_port.hpp"

#include <charconv>

namespace stillwell::config {

Result<HostPort> parse_host_port(std::string_view text) {
  constexpr int kHighestPort = 65535;
  const std::string whole(text);
  const bool bracketed = text.starts_with('[');
  const std::size_t host_end = bracketed ? text.find(']') : text.find(':');
  const std::string_view host = text.substr(bracketed ? 1 : 0, bracketed ? host_end - 1 : host_end);
  if (host.empty() || (bracketed && host_end == std::string_view::npos))
    return Failure{"'" + whole + "' names no host"};
  HostPort at{.host = std::string(host), .port = {}};

  const std::size_t colon = bracketed ? host_end + 1 : host_end;
  if (colon >= text.size()) return at;
  const std::string_view digits = text.substr(colon + 1);
  int port = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), port);
  const bool is_port = text[colon] == ':' && error == std::errc{} && end == digits.data() + digits.size() &&
                       port >= 1 && port <= kHighestPort;
  if (!is_port) return Failure{"'" + whole + "' has no port from 1 to 65535 after its host"};
  at.port = port;
  return at;
}

}  // namespace stillwell::config
