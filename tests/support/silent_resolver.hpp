#pragma once
// A name server that takes every question and answers none, for a program of its own that a test starts: in a
// mount namespace where /etc/resolv.conf names it. Needs root.

#include <string>
#include <vector>

#include "support/process.hpp"

namespace support {

class SilentResolver {
 public:
  SilentResolver();
  ~SilentResolver();
  SilentResolver(const SilentResolver&) = delete;
  SilentResolver& operator=(const SilentResolver&) = delete;

  /// Why it cannot be had here; empty when it can.
  [[nodiscard]] const std::string& why_not() const { return why_not_; }
  /// What becomes the program whose words follow.
  [[nodiscard]] std::vector<std::string> launcher() const;
  /// Waits until somebody has asked for a name.
  [[nodiscard]] bool was_asked() const;

 private:
  TemporaryDirectory directory_;
  std::string why_not_;
  int socket_ = -1;
};

}  // namespace support
