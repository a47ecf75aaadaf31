#pragma once
// Why a broker and we did not come together over TLS, in a sentence with its remedy. The MQTT library has one
// number for all of it; what it traces line by line while it tries tells the causes apart. Pure.

#include <string>
#include <string_view>

namespace stillwell::report {

class TlsTrouble {
 public:
  /// A line of the library's trace. The first cause is the one that counts; a new attempt forgets it.
  void hear(std::string_view line);
  /// Empty when the broker was not reached at all. `has_certificate`: we have one of our own to show.
  [[nodiscard]] std::string text(bool has_certificate) const;

 private:
  std::string_view cause_;
  bool began_ = false;      ///< the broker took the connection
  bool is_done_ = false;    ///< and both sides of the handshake were content, as far as we could see
  bool asked_us_ = false;   ///< it wants to see a certificate of ours
  bool named_ill_ = false;  ///< its certificate has no such name; it may still have the address
};

}  // namespace stillwell::report
