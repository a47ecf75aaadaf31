#pragma once
// The words for what happened. Texts are made from the cause table and the numbers at hand, so that the
// journal, the broker and the terminal tell one story.

#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"
#include "stillwell/tank/flow_account.hpp"

namespace stillwell {

Event tell_quality(const Tank& tank, const Level& before, const Level& now);

/// What an alarm was judged by.
struct AlarmGrounds {
  Level level;
  std::optional<Night> night;  ///< the last one that told
};
Event tell_alarm(const Alarm& alarm, const Tank& tank, AlarmState state, const AlarmGrounds& grounds);

/// What a tank's account of a day has come to.
Event tell_day(const Tank& tank, const DayTotals& day);

/// The levels a pump decided on; either may be unusable.
struct PumpLevels {
  Level tank;
  std::optional<Level> source;
};
Event tell_pump(const Pump& pump, const PumpEvent& event, const PumpLevels& levels);

}  // namespace stillwell
