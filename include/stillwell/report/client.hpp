#pragma once
// The caller's side of the local socket: one request, one answer.

#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"

#include <filesystem>
#include <string>
#include <string_view>

namespace stillwell::report {

/// Long enough for a command that is answered after the next scan of the slowest site.
inline constexpr Duration kAskWithin = std::chrono::seconds{10};

/// Sends one line of JSON and returns the answer's line. The failure says in a sentence that the daemon
/// could not be reached, why, and what to do.
Result<std::string> ask_daemon(const std::filesystem::path& socket, std::string_view request,
                               Duration timeout = kAskWithin);

}  // namespace stillwell::report
