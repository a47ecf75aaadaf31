#pragma once
// Authorities, certificates and keys for a test, made by openssl(1) and gone with the object.

#include <stdexcept>
#include <string>
#include <vector>

#include "support/process.hpp"

namespace support {

class Certificates {
 public:
  /// Two authorities, "ca" and "stranger", and a certificate "broker" for localhost by the first of them.
  Certificates() {
    for (const std::string name : {"ca", "stranger"}) {
      run({"req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=" + name, "-keyout",
           key(name), "-out", file(name)});
    }
    make("broker");
  }

  [[nodiscard]] std::string file(const std::string& name) const { return directory_.file(name + ".pem"); }
  [[nodiscard]] std::string key(const std::string& name) const { return directory_.file(name + ".key"); }

  /// `days`: how long it is valid from now on; negative, so long ago it expired.
  void make(const std::string& name, const std::string& names = "DNS:localhost", int days = 2,
            const std::string& authority = "ca") const {
    request(name, names);
    run({"x509", "-req", "-in", directory_.file(name + ".csr"), "-CA", file(authority), "-CAkey",
         key(authority), "-CAcreateserial", "-days", std::to_string(days), "-extfile",
         directory_.file(name + ".names"), "-out", file(name)});
  }
  /// One that is not valid before the year 2090.
  void make_too_early(const std::string& name) const {
    request(name, "DNS:localhost");
    write_file(directory_.file("index"), "");
    write_file(directory_.file("authority.cnf"),
               "[ca]\ndefault_ca = it\n[it]\ndatabase = " + directory_.file("index") + "\nnew_certs_dir = " +
                   directory_.path() + "\nrand_serial = yes\ndefault_md = sha256\npolicy = any\n" +
                   "[any]\ncommonName = supplied\n");
    run({"ca", "-batch", "-config", directory_.file("authority.cnf"), "-cert", file("ca"), "-keyfile",
         key("ca"), "-in", directory_.file(name + ".csr"), "-extfile", directory_.file(name + ".names"),
         "-startdate", "20900101000000Z", "-enddate", "20910101000000Z", "-notext", "-out", file(name)});
  }

  /// Lines of a mosquitto.conf for a listener that shows this certificate.
  [[nodiscard]] std::vector<std::string> listener(const std::string& name = "broker") const {
    return {"cafile " + file("ca"), "certfile " + file(name), "keyfile " + key(name)};
  }

 private:
  void request(const std::string& name, const std::string& names) const {
    write_file(directory_.file(name + ".names"), "subjectAltName=" + names + "\n");
    run({"req", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=" + name, "-keyout", key(name), "-out",
         directory_.file(name + ".csr")});
  }
  static void run(std::vector<std::string> argv) {
    argv.insert(argv.begin(), "openssl");
    Process process{argv};
    if (process.wait_exit() != 0) throw std::runtime_error{"openssl " + argv[1] + ": " + process.err()};
  }

  TemporaryDirectory directory_;
};

}  // namespace support
