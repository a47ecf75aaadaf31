#pragma once
// What a person may ask of the running site, and what comes of it. Commands enter through the input image, so
// that a recorded run repeats them too.

#include "stillwell/pump/pump.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace stillwell {

enum class CommandKind : std::uint8_t {
  acknowledge,
  silence,
  shelve,
  unshelve,
  reset,
  mode,
  accept,
  service,
  sound_horn,
  prove,
  release,
};

/// Bytes of the reason why an alarm is shelved.
inline constexpr std::size_t kLongestReason = 128;

/// The verb, as people type it.
std::string_view to_word(CommandKind kind);

struct Command {
  std::uint64_t number = 0;  ///< the sender's, returned with the answer
  CommandKind kind = CommandKind::acknowledge;
  std::string target;     ///< an alarm ("header/low", or "all"), a pump, a tank, an annunciator (or "all")
  std::string argument;   ///< mode: auto | off. service: in | out. prove: a step
  Duration lasts{};       ///< shelve: for so long
  std::string because{};  ///< shelve: the reason
  Origin origin = Origin::local;
};

struct Answer {
  std::uint64_t number = 0;
  bool done = false;  ///< false: refused, and the text says why
  std::string text;
  bool judged = true;  ///< false: the rules never got to it, so that no event tells of it
};

}  // namespace stillwell
