#pragma once
// One daemon a state directory. The lock is taken before anything is touched, and goes with the process.

#include "stillwell/quantity/result.hpp"

#include <filesystem>
#include <memory>

namespace stillwell::service {

/// Held as long as the pointer lives.
using StateLock = std::shared_ptr<const int>;

/// Fails with a sentence for the user: somebody else holds it, or the directory cannot be used.
Result<StateLock> lock_state(const std::filesystem::path& state_directory);

}  // namespace stillwell::service
