#pragma once
// The state file, $STATE_DIRECTORY/state.json: what must outlive the daemon, with a sum over it. It is
// written whole to a file beside it, made durable and renamed, so that a power cut leaves the old or the new
// one; the one before is kept as state.json.old for a person to look at.

#include "stillwell/quantity/result.hpp"
#include "stillwell/report/state_json.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace stillwell::report {

/// What a state directory says at the start.
struct FoundState {
  std::optional<Kept> kept;  ///< empty at the very first start, and when it is lost
  std::string loss;          ///< why it is lost, for a person; empty otherwise
};

/// A broken file is set aside as state.json.broken. One that is missing where a journal or an older copy
/// tells that there was one counts as lost too.
FoundState load_state(const std::filesystem::path& directory);

/// Durable when it returns without a failure.
std::optional<Failure> save_state(const std::filesystem::path& directory, const Kept& kept);

}  // namespace stillwell::report
