#pragma once
// Pumps that share one duty. The level asks for one of them, or for a second one too; here is decided whose
// turn it is. What a pump may run on is its own affair: being called overrides nothing.

#include "stillwell/pump/pump.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell {

enum class SetOrder : std::uint8_t {
  alternate,  ///< the next run begins with the one after that which started last
  fixed,      ///< with the first one that can
};
std::string_view to_word(SetOrder order);

/// All of them keep one tank, one way, between the same two levels.
struct PumpSet {
  std::string id;
  std::vector<PumpIndex> pumps;  ///< two or more, in the order of the file
  SetOrder order = SetOrder::alternate;
  std::optional<Metres> second_level{};  ///< fill: at or below. drain: at or above. A drain set that floats
                                         ///< keep calls the second by the high float
};

/// The one that a pump is in, by position.
std::optional<std::size_t> set_of(const std::vector<PumpSet>& sets, PumpIndex pump);

struct PumpSetMemory {
  int wanted = 0;                         ///< pumps that the level asks for
  std::optional<PumpIndex> last_started;  ///< kept over a restart
  std::vector<PumpIndex> of_this_run;     ///< have started since the level asks
};

/// Who runs or shall start, each in its turn. Of `inputs` only the tank is looked at, and its floats. Whoever
/// runs stays called until the level is satisfied: the turn passes between runs (rule 6), and within one only
/// for want of a pump that can.
std::vector<PumpIndex> call(const PumpSet& set, PumpSetMemory& memory, const std::vector<Pump>& pumps,
                            const std::vector<PumpMemory>& members, const PumpInputs& inputs);

/// A member has started. Says whose turn it takes: of those that were before it, and of those that this run
/// had begun with, the ones that what holds them passes over.
std::vector<PumpIndex> note_start(PumpIndex member, const PumpSet& set, PumpSetMemory& memory,
                                  const std::vector<PumpMemory>& members);

/// Rule 8: whether what holds a member gives its turn to the next: what ails its contact or its motor, or
/// that people need it. Rest and spent starts do so too, but not beside a cause that keeps the turn.
bool passes_on(const std::vector<Cause>& held_by);

}  // namespace stillwell
