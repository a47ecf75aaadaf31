#pragma once
// A serial port without a wire: a pty under the name that the configuration gives its line. It can be
// unplugged, as a USB adapter can.

#include "stillwell/orchard/modbus.hpp"
#include "stillwell/quantity/time.hpp"

#include <filesystem>
#include <string>

namespace stillwell::orchard {

class PtyPort {
 public:
  /// `name` becomes a symbolic link to the pty; its directory must exist.
  explicit PtyPort(std::filesystem::path name) : name_{std::move(name)} {}
  ~PtyPort() { unplug(); }
  PtyPort(const PtyPort&) = delete;
  PtyPort& operator=(const PtyPort&) = delete;

  /// Opens the pty and makes the link. Throws std::runtime_error with a sentence for the user when the name
  /// is taken by something else or the system refuses.
  void plug();
  /// Closes the pty, so that whoever has it open loses it, and removes the link if it is still ours.
  void unplug();
  [[nodiscard]] bool plugged() const { return master_ >= 0; }

  /// Waits at most `limit` for bytes from the computer and takes at most 256 of them.
  Bytes read(Duration limit);
  /// Sends at the pace of a line on which one character takes `character`. What nobody reads is lost, as on a
  /// wire.
  void write(ByteView bytes, Duration character);
  /// Lets others open the port again after a process died that held it exclusively. A real port forgets that
  /// when its last user has gone; this one is held open here, so that the computer may come and go.
  void forget_exclusive_use() const;

 private:
  void link();

  std::filesystem::path name_;
  std::string device_;
  int master_ = -1;
  int slave_ = -1;
};

}  // namespace stillwell::orchard
