#pragma once
// The words for what happened. Texts are made from the cause table and the numbers at hand, so that the
// journal, the broker and the terminal tell one story.

#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"
#include "stillwell/tank/flow_account.hpp"

#include <string>
#include <vector>

namespace stillwell {

/// "header-top shows 2.436 m": of every gauge that is not believed.
std::string tell_refused(const Model& model, const std::vector<Refused>& readings);
/// `refused` from above, or empty.
Event tell_quality(const Tank& tank, const Level& before, const Level& now, const std::string& refused);
/// Of a tank that is kept by floats; `floats` says what each of them shows.
Event tell_quality(const Tank& tank, const Level& now, const std::string& floats);

/// What a tank's account of a day has come to.
Event tell_day(const Tank& tank, const DayTotals& day);

/// The levels a pump decided on; either may be unusable.
struct PumpLevels {
  Level tank;
  std::optional<Level> source;
  std::optional<FloatSight> floats{};  ///< of its tank, instead of a level
};
Event tell_pump(const Pump& pump, const PumpEvent& event, const PumpLevels& levels);

}  // namespace stillwell
