#pragma once
// What a rehearsal came to, as text and as JSON, and how two of them differ.

#include "stillwell/quantity/result.hpp"
#include "stillwell/rehearsal/totals.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::command {

struct ToldEvent {
  Stamp at{};
  Event event;
};

struct RehearsalStory {
  std::string site;
  std::string checksum;  ///< of the configuration
  Stamp begins{};
  Duration lasted{};
  std::vector<ToldEvent> events;
  rehearsal::Totals totals;
  std::vector<Litres> spilled{};  ///< of each tank of a simulated plant
};

/// Every event in a line, then the totals.
std::string story_text(const RehearsalStory& story);
std::string story_json(const RehearsalStory& story);

/// What is different, a line each, no more than fits a screen and then how many more; empty when nothing is.
/// Both are JSON of rehearsals; a failure says which is none.
Result<std::vector<std::string>> differences(std::string_view before, std::string_view now);

}  // namespace stillwell::command
