#pragma once
// What would be measured with a tape, taken from the gauge itself: the lines of a configuration that a run of
// soundings over an empty or a full tank proposes, or why it proposes none. Pure.

#include "stillwell/reading/soundings.hpp"
#include "stillwell/site/model.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::config {

/// How the tank stood while the soundings were taken; a person says so.
enum class Stand : std::uint8_t { empty, full };

struct TapeProposal {
  std::string key;                   ///< to_floor, to_full, or full for a gauge that measures a depth
  std::optional<Metres> value;       ///< to the millimetre; empty when nothing is proposed
  std::string yaml;                  ///< the lines to paste, each with its end
  std::vector<std::string> against;  ///< why nothing is proposed, each a clause
  std::string doubtful;              ///< a sentence, where it is far from what the file says now; else empty
};

/// The tank that uses a gauge; empty when none does.
std::optional<TankIndex> tank_of(const Model& model, GaugeIndex gauge);

/// `doubt`: half width that is left because a temperature is not known.
TapeProposal propose(const Model& model, GaugeIndex gauge, Stand stand, const SoundingFigures& figures,
                     Metres doubt);

}  // namespace stillwell::config
