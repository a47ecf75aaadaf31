#pragma once
// Where the broker is: "mqtts://broker.lan:8883".

#include "stillwell/quantity/result.hpp"

#include <string>
#include <string_view>

namespace stillwell::config {

struct BrokerUrl {
  std::string host;  ///< a name or an address; without the brackets of an IPv6 one
  int port = 1883;
  bool tls = false;
};

/// The port is 1883, or 8883 with TLS, when none is given.
Result<BrokerUrl> parse_broker_url(std::string_view text);

}  // namespace stillwell::config
