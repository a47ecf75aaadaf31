#pragma once
// Where something listens: "broker.lan:8883", "192.0.2.7", "[2001:db8::7]:502".

#include "stillwell/quantity/result.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace stillwell::config {

struct HostPort {
  std::string host;         ///< a name or an address; without the brackets of an IPv6 one
  std::optional<int> port;  ///< 1 to 65535; empty when none is given
};

Result<HostPort> parse_host_port(std::string_view text);

}  // namespace stillwell::config
