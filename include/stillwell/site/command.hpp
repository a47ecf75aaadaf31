#pragma once
// What a person may ask of the running site, and what comes of it. Commands enter through the input image, so
// that a recorded run repeats them too.

#include <cstdint>
#include <string>

namespace stillwell {

enum class CommandKind : std::uint8_t { acknowledge, reset, mode, accept };

struct Command {
  std::uint64_t number = 0;  ///< the sender's, returned with the answer
  CommandKind kind = CommandKind::acknowledge;
  std::string target;    ///< an alarm ("header/low", or "all"), a pump, or a tank (accept)
  std::string argument;  ///< mode: auto | off
};

struct Answer {
  std::uint64_t number = 0;
  bool done = false;  ///< false: refused, and the text says why
  std::string text;
};

}  // namespace stillwell
