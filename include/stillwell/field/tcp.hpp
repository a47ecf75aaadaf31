#pragma once
// The way to a gateway on the network: its name looked up without waiting for a name server, and a connection
// within a bound.

#include "stillwell/config/wiring.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"

#include <memory>
#include <string>

namespace stillwell::field {

/// "192.0.2.7:502", "[2001:db8::7]:502".
std::string to_text(const config::TcpAddress& address);

class TcpDialer {
 public:
  explicit TcpDialer(config::TcpAddress address);
  ~TcpDialer();
  TcpDialer(const TcpDialer&) = delete;
  TcpDialer& operator=(const TcpDialer&) = delete;

  /// A connected socket that the caller closes, within `limit`; otherwise why not, in words. A name server
  /// that takes longer is asked on: a later call finds its answer. Of several addresses those for which no
  /// time was left are tried by the next calls.
  Result<int> dial(Duration limit);

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::field
