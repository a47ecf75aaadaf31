#pragma once
// The payload of a command, from its bytes to what it asks. Exactly one way to write each: a payload that is
// nearly right comes from a program that is not right. Pure.

#include "stillwell/quantity/result.hpp"
#include "stillwell/report/command_topics.hpp"

#include <cstddef>
#include <string>
#include <string_view>

namespace stillwell::report {

/// In bytes; more is refused unread.
std::size_t longest_payload(PayloadForm form);

/// The failure says what was expected, and shows what came as excerpt() does.
Result<Command> parse_payload(const CommandTopic& topic, std::string_view payload);

/// What a stranger sent, short enough and tame enough for a journal: at most 40 bytes of it, in quotes,
/// everything but printable ASCII as \xNN.
std::string excerpt(std::string_view bytes);

}  // namespace stillwell::report
