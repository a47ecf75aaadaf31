#pragma once
// Authorities, certificates and keys for a test, made by openssl(1) and gone with the object.

#include <string>
#include <vector>

#include "support/process.hpp"

namespace support {

class Certificates {
 public:
  /// Two authorities, "ca" and "stranger", and a certificate "broker" for localhost by the first of them.
  Certificates();

  [[nodiscard]] const std::string& directory() const { return directory_.path(); }
  [[nodiscard]] std::string file(const std::string& name) const { return directory_.file(name + ".pem"); }
  [[nodiscard]] std::string key(const std::string& name) const { return directory_.file(name + ".key"); }

  /// NAME.pem and NAME.key, of the common name NAME. `days`: how long it is valid from now on; negative, so
  /// long ago it expired.
  void make(const std::string& name, const std::string& names = "DNS:localhost", int days = 2,
            const std::string& authority = "ca") const;
  /// One that is not valid before the year 2090.
  void make_too_early(const std::string& name) const;

  /// Lines of a mosquitto.conf for a listener that shows this certificate.
  [[nodiscard]] std::vector<std::string> listener(const std::string& name = "broker") const;

 private:
  void request(const std::string& name, const std::string& names) const;

  TemporaryDirectory directory_;
};

}  // namespace support
