#pragma once
// The local socket: status and commands for people and programs on this machine. Mode 0660: root, the
// daemon's own user and the socket's group get in; commands are taken from no one else, whatever the mode
// became.

#include "stillwell/site/command.hpp"

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

namespace stillwell::report {

struct SocketHandlers {
  std::function<std::string()> status;     ///< one line of JSON
  std::function<Answer(Command)> command;  ///< may wait for a scan
};

class Socket {
 public:
  /// Listens from now on. A socket file that nobody listens on is replaced. Throws std::runtime_error when
  /// somebody does, or when the place cannot be used.
  Socket(std::filesystem::path path, SocketHandlers handlers);
  ~Socket();  ///< ends all connections and removes the file
  Socket(const Socket&) = delete;
  Socket& operator=(const Socket&) = delete;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace stillwell::report
