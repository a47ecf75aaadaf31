#include "stillwell/report/tls_trouble.hpp"

#include <array>

namespace stillwell::report {
namespace {

struct Sign {
  std::string_view heard;
  std::string_view means;
};

constexpr std::string_view kTooOld =
    "it speaks no TLS 1.2 or later with ciphers of today; older ones are not safe (RFC 8996): bring the "
    "broker up to date";

/// An alert that we write is our verdict on its certificate (RFC 5246, 7.2.2; which it is, OpenSSL chooses).
constexpr std::array kSigns{
    Sign{"alert write:fatal:certificate expired",
         "its certificate has expired: renew it at the broker, or set the clock of this machine"},
    Sign{"alert write:fatal:unknown CA",
         "its certificate is signed by an authority that is not known here: name the file with the "
         "certificate of that authority in `ca`"},
    Sign{"alert write:fatal:bad certificate",
         "its certificate is not accepted, for it is not valid yet or its keys are too weak: look at the "
         "clock of this machine, or have the certificate made anew"},
    Sign{"alert write:fatal:protocol version", kTooOld},
    Sign{"alert read:fatal:protocol version", kTooOld},
};

bool holds(std::string_view line, std::string_view part) {
  return line.find(part) != std::string_view::npos;
}

}  // namespace

void TlsTrouble::hear(std::string_view line) {
  if (holds(line, "Connecting to serverURI")) *this = {};
  if (holds(line, "SSL handshake started")) began_ = true;
  if (holds(line, "SSL handshake done")) is_done_ = true;
  if (holds(line, "read server certificate request")) asked_us_ = true;
  if (holds(line, "X509_check_host for hostname")) named_ill_ = true;
  if (holds(line, "X509_check_ip_asc is 1")) named_ill_ = false;
  for (const Sign& sign : kSigns) {
    if (cause_.empty() && holds(line, sign.heard)) cause_ = sign.means;
  }
  // Without a request for a certificate it is about what both can speak, and nothing else.
  if (cause_.empty() && !asked_us_ && holds(line, "alert read:fatal:handshake failure")) cause_ = kTooOld;
}

std::string TlsTrouble::text(bool has_certificate) const {
  if (!cause_.empty()) return std::string{cause_};
  if (named_ill_) {
    return "its certificate is for another name than that in `url`: write there the name that the "
           "certificate has, or have a certificate made for this one";
  }
  if (asked_us_ && !has_certificate) {
    return "it wants a certificate of the gateway's own: set `cert` and `key`";
  }
  if (asked_us_) {
    return "it does not accept the certificate in `cert`: let it be signed by an authority that the broker "
           "knows, and look whether it has expired";
  }
  if (is_done_) return "it ended the connection, and TLS was not the cause";
  if (began_) {
    return "it takes connections, but gives no answer in TLS: look at the port in `url`, which is 8883 for "
           "most brokers";
  }
  return {};
}

}  // namespace stillwell::report
