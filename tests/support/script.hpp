#pragma once
// Small shell scripts that a test writes, and what became of the processes that they were.

#include <cerrno>
#include <string>
#include <string_view>
#include <vector>

#include "support/process.hpp"
#include <sys/stat.h>
#include <sys/wait.h>

namespace support {

/// An executable script of the given lines; its first argument, by convention, is the directory.
inline std::vector<std::string> script(const TemporaryDirectory& directory, std::string_view lines) {
  const std::string path = directory.file("tell-me");
  write_file(path, "#!/bin/sh\n" + std::string(lines) + "\n");
  ::chmod(path.c_str(), 0755);
  return {path, directory.path()};
}

/// Neither gone nor a zombie.
inline bool is_running(const std::string& pid) {
  const std::string status = read_file("/proc/" + pid + "/stat");
  const auto after_name = status.rfind(')');
  return after_name != std::string::npos && status.size() > after_name + 2 && status[after_name + 2] != 'Z' &&
         status[after_name + 2] != 'X';
}

/// Of this process: running, or ended and never waited for.
inline bool has_children() {
  siginfo_t info{};
  return ::waitid(P_ALL, 0, &info, WEXITED | WNOHANG | WNOWAIT) == 0 || errno != ECHILD;
}

}  // namespace support
