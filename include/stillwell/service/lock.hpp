#pragma once
// One daemon a state directory. The lock is taken before anything is touched, and goes with the process.

#include <filesystem>
#include <memory>
#include <string>

namespace stillwell::service {

/// Held as long as the pointer lives.
using StateLock = std::shared_ptr<const int>;

struct LockTry {
  StateLock lock;                ///< null: not to be had
  bool held_by_another = false;  ///< a daemon that lives
  std::string why;               ///< a sentence for the user: that, or the directory cannot be used
};
LockTry lock_state(const std::filesystem::path& state_directory);

}  // namespace stillwell::service
