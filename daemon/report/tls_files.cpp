#include "stillwell/report/tls_files.hpp"

#include <fstream>
#include <memory>
#include <stdexcept>
#include <string>

#include <openssl/err.h>
#include <openssl/ssl.h>

namespace stillwell::report {
namespace {

void require_readable(const std::string& file, const char* what) {
  if (!file.empty() && !std::ifstream{file}) {
    throw std::runtime_error{std::string{"the "} + what + " " + file + " cannot be read"};
  }
}

void require(bool holds, const std::string& otherwise) {
  if (holds) return;
  ERR_clear_error();
  throw std::runtime_error{otherwise};
}

}  // namespace

void require_tls_files(const config::Broker& broker) {
  require_readable(broker.ca, "file of trusted certificates");
  require_readable(broker.cert, "certificate");
  require_readable(broker.key, "private key");
  const std::unique_ptr<SSL_CTX, void (*)(SSL_CTX*)> context{SSL_CTX_new(TLS_client_method()), SSL_CTX_free};
  if (!context) throw std::runtime_error{"OpenSSL does not start"};
  const auto no_pass_phrase = [](char*, int, int, void*) { return -1; };
  SSL_CTX_set_default_passwd_cb(context.get(), no_pass_phrase);
  require(broker.ca.empty() || SSL_CTX_load_verify_locations(context.get(), broker.ca.c_str(), nullptr) == 1,
          "in the file of trusted certificates " + broker.ca + " is no certificate (PEM)");
  if (broker.cert.empty()) return;
  require(SSL_CTX_use_certificate_chain_file(context.get(), broker.cert.c_str()) == 1,
          "in the file " + broker.cert + " of `cert` is no certificate (PEM), or one with too weak a key");
  // Without a key of its own the file of the certificate holds both.
  const std::string& key = broker.key.empty() ? broker.cert : broker.key;
  require(SSL_CTX_use_PrivateKey_file(context.get(), key.c_str(), SSL_FILETYPE_PEM) == 1,
          "in the file " + key +
              " is no private key (PEM, without a pass phrase) that belongs to the "
              "certificate " +
              broker.cert);
}

}  // namespace stillwell::report
