#include "support/certificates.hpp"

#include <stdexcept>
#include <vector>

namespace support {
namespace {

void openssl(std::vector<std::string> words) {
  words.insert(words.begin(), "openssl");
  Process process{words};
  if (process.wait_exit() != 0) throw std::runtime_error{"openssl " + words[1] + ": " + process.err()};
}

/// A new key on P-256, which is made in no time, and what `more` asks to be made of it.
void new_key(const std::string& name, const std::string& key, std::vector<std::string> more) {
  more.insert(more.begin(), {"req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-subj",
                             "/CN=" + name, "-keyout", key});
  openssl(more);
}

}  // namespace

Certificates::Certificates() {
  new_key("ca", file("ca.key"), {"-x509", "-days", "2", "-out", file("ca.pem")});
}

void Certificates::issue(const std::string& name, const std::string& host) {
  new_key(name, file(name + ".key"), {"-out", file(name + ".request")});
  write_file(file(name + ".names"), "subjectAltName=DNS:" + host + "\n");
  openssl({"x509", "-req", "-in", file(name + ".request"), "-CA", file("ca.pem"), "-CAkey", file("ca.key"),
           "-CAcreateserial", "-days", "2", "-extfile", file(name + ".names"), "-out", file(name + ".pem")});
}

}  // namespace support
