#pragma once
// What a person may do with pumps: their modes, resets and service, and the release of all of them.

#include "stillwell/site/command_case.hpp"

namespace stillwell {

/// Ends a lock-out, a release, or the count of failures.
CommandReply reset_pump(const CommandCase& it, std::size_t at, Origin origin);
CommandReply do_mode(const CommandCase& it, const Command& command);
/// Of a pump, or of a tank and with it every pump that touches it (rule 16).
CommandReply do_service(const CommandCase& it, const Command& command);
/// Rule 19: every pump off at once, and held so until a person resets each.
CommandReply do_release(const CommandCase& it, const Command& command);

}  // namespace stillwell
