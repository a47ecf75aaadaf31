#pragma once
// The scan of the daemon over time that is not lived through: the same rules, in the same order, as fast as
// they can be solved. The same stand-in and the same plan give the same story, bit for bit.

#include "stillwell/quantity/time.hpp"
#include "stillwell/rehearsal/stand_in.hpp"
#include "stillwell/site/solve.hpp"

#include <functional>
#include <optional>

namespace stillwell::rehearsal {

struct Plan {
  Stamp begins{};    ///< what the wall clock shows at the first scan
  Duration lasts{};  ///< at most; a stand-in may end before
  /// The time at the site's place; asked once a minute.
  std::function<std::optional<LocalTime>(Stamp)> to_local;
};

/// One scan of the rehearsal.
struct Scanned {
  const Outcome& outcome;
  const Readings& readings;
  Duration since{};  ///< the beginning
  Stamp wall{};
};

/// Returns how much time was rehearsed. Nobody gives commands, and every disk is well.
Duration rehearse(const Model& model, StandIn& stand_in, const Plan& plan,
                  const std::function<void(const Scanned&)>& tell);

}  // namespace stillwell::rehearsal
