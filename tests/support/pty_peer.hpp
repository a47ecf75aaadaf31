#pragma once
// The other end of a serial line: a pseudo-terminal whose far side answers as a script says. Real bytes, and
// every request is kept for the test to look at.

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace support {

using Bytes = std::vector<std::uint8_t>;

/// Bytes to send, after a pause.
struct Burst {
  Bytes bytes;
  std::chrono::milliseconds after{0};
};

class PtyPeer {
 public:
  /// What to send back to a request; called on the peer's thread.
  using Script = std::function<std::vector<Burst>(const Bytes& request)>;

  /// Requests are of one size: 8 bytes for all Modbus functions used here. Throws when there is no pty.
  explicit PtyPeer(Script script, std::size_t request_size = 8);
  ~PtyPeer();  ///< hangs up: whoever has the port open sees it die
  PtyPeer(const PtyPeer&) = delete;
  PtyPeer& operator=(const PtyPeer&) = delete;

  [[nodiscard]] const std::string& path() const { return path_; }

  void follow(Script script);     ///< another script from now on
  void send(const Bytes& bytes);  ///< unasked
  [[nodiscard]] std::vector<Bytes> requests() const;

 private:
  void serve();
  bool play(const std::vector<Burst>& bursts);

  std::size_t request_size_;
  std::string path_;
  int master_ = -1;
  int slave_ = -1;  ///< kept open, so that the master does not see an end while nobody has the port open
  mutable std::mutex mutex_;
  std::condition_variable stopping_;
  Script script_;
  std::vector<Bytes> requests_;
  bool stop_ = false;
  std::thread thread_;
};

}  // namespace support
