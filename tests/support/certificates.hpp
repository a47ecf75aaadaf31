#pragma once
// An authority of our own and the certificates that it signs, made by openssl in a directory that goes with
// it.

#include <string>

#include "support/process.hpp"

namespace support {

class Certificates {
 public:
  Certificates();  ///< the authority: ca.pem

  /// NAME.pem and NAME.key, for the common name NAME and as a server for `host`.
  void issue(const std::string& name, const std::string& host = "localhost");

  [[nodiscard]] std::string file(const std::string& name) const { return directory_.file(name); }

 private:
  TemporaryDirectory directory_;
};

}  // namespace support
