#include "support/certificates.hpp"

#include <stdexcept>

namespace support {
namespace {

void openssl(std::vector<std::string> words) {
  words.insert(words.begin(), "openssl");
  Process process{words};
  if (process.wait_exit() != 0) throw std::runtime_error{"openssl " + words[1] + ": " + process.err()};
}

}  // namespace

Certificates::Certificates() {
  for (const std::string name : {"ca", "stranger"}) {
    openssl({"req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=" + name, "-keyout",
             key(name), "-out", file(name)});
  }
  make("broker");
}

void Certificates::request(const std::string& name, const std::string& names) const {
  write_file(directory_.file(name + ".names"), "subjectAltName=" + names + "\n");
  openssl({"req", "-newkey", "rsa:2048", "-nodes", "-subj", "/CN=" + name, "-keyout", key(name), "-out",
           directory_.file(name + ".csr")});
}

void Certificates::make(const std::string& name, const std::string& names, int days,
                        const std::string& authority) const {
  request(name, names);
  openssl({"x509", "-req", "-in", directory_.file(name + ".csr"), "-CA", file(authority), "-CAkey",
           key(authority), "-CAcreateserial", "-days", std::to_string(days), "-extfile",
           directory_.file(name + ".names"), "-out", file(name)});
}

void Certificates::make_too_early(const std::string& name) const {
  request(name, "DNS:localhost");
  write_file(directory_.file("index"), "");
  write_file(directory_.file("authority.cnf"),
             "[ca]\ndefault_ca = it\n[it]\ndatabase = " + directory_.file("index") + "\nnew_certs_dir = " +
                 directory() + "\nrand_serial = yes\ndefault_md = sha256\npolicy = any\n" +
                 "[any]\ncommonName = supplied\n");
  openssl({"ca", "-batch", "-config", directory_.file("authority.cnf"), "-cert", file("ca"), "-keyfile",
           key("ca"), "-in", directory_.file(name + ".csr"), "-extfile", directory_.file(name + ".names"),
           "-startdate", "20900101000000Z", "-enddate", "20910101000000Z", "-notext", "-out", file(name)});
}

std::vector<std::string> Certificates::listener(const std::string& name) const {
  return {"cafile " + file("ca"), "certfile " + file(name), "keyfile " + key(name)};
}

}  // namespace support
