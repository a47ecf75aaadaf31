#include "stillwell/config/reaction.hpp"

#include "stillwell/config/bus_time.hpp"

#include <algorithm>
#include <chrono>

namespace stillwell::config {
namespace {

/// The scan, two threads that wake, and a system call: rule 5.
constexpr Duration kOwn = std::chrono::milliseconds{5};

}  // namespace

std::optional<Reaction> reaction_of(const Wiring& wiring, ContactIndex contact) {
  const LineIndex index = wiring.contacts.at(contact.at).line;
  const LineWiring& line = wiring.lines.at(index.at);
  if (line.tcp) return std::nullopt;
  if (line.carries == Carries::pins) return Reaction{kOwn, kOwn};
  Duration longest{};
  for (const Traffic& one : traffic_of(wiring, index))
    longest = std::max(longest, one.takes);
  const Duration after = write_time(line) + kOwn;
  return Reaction{longest + after, std::max(longest, unanswered_time(line)) + after};
}

}  // namespace stillwell::config
