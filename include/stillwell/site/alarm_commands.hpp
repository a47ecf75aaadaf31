#pragma once
// What a person may do with alarms.

#include "stillwell/site/command_case.hpp"

namespace stillwell {

/// "all", or one.
CommandReply do_acknowledge(const CommandCase& it, const Command& command);
/// Of a latched one whose condition has gone.
CommandReply reset_alarm(const CommandCase& it, std::size_t at);
CommandReply do_shelve(const CommandCase& it, const Command& command);
CommandReply do_unshelve(const CommandCase& it, const Command& command);

}  // namespace stillwell
