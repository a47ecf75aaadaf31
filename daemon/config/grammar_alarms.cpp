// The grammar of alarms: of tanks, pumps, contacts, lines and the gateway.
//
// Starting values, and where they disagree (tests/reference/09_alarm_practice.csv): EEMUA 191, as quoted in
// public, gives a level a deadband of 2 % of its range; ISA-18.2, as remembered, gives 5 % and a delay of
// 60 s both ways. The wider band is the default: a tank of stored water has slosh and a sensor of a few
// millimetres, and is left for hours. A tank runs low over hours and overflows in minutes, so the upper
// alarms rise after 5 s.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr Key after(Name delay) {
  return {.name = "after",
          .kind = Kind::duration,
          .fallback = delay,
          .least = "0 s",
          .most = "24 h",
          .doc = "how long it must hold before the alarm rises"};
}
constexpr Key clear_after(Name delay) {
  return {.name = "clear_after",
          .kind = Kind::duration,
          .fallback = delay,
          .least = "0 s",
          .most = "24 h",
          .doc = "how long it must be gone before the alarm returns"};
}
constexpr Key priority(Name word) {
  return {.name = "priority",
          .kind = Kind::word,
          .fallback = word,
          .words = kPriorities,
          .doc = "how soon to act"};
}
constexpr Key latch(Name word) {
  return {.name = "latch",
          .kind = Kind::flag,
          .fallback = word,
          .doc = "true: stays until a person resets it, although its cause has gone"};
}

/// Defaults of an alarm.
struct Habit {
  Name after;
  Name clear_after;
  Name priority;
  Name latch = "false";
};
constexpr std::array<Key, 4> plain_alarm(const Habit& habit) {
  return {after(habit.after), clear_after(habit.clear_after), priority(habit.priority), latch(habit.latch)};
}
constexpr std::array<Key, 6> level_alarm(const Habit& habit) {
  return {
      Key{.name = "at", .kind = Kind::set_point, .required = true, .doc = "the level at which it rises"},
      Key{.name = "deadband",
          .kind = Kind::set_point,
          .fallback = "5 %",
          .doc = "how far the level must return before it clears"},
      after(habit.after),
      clear_after(habit.clear_after),
      priority(habit.priority),
      latch(habit.latch),
  };
}
constexpr std::array<Key, 6> rate_alarm(const Habit& habit) {
  return {
      Key{.name = "faster_than",
          .kind = Kind::level_rate,
          .required = true,
          .least = "0.1 mm/min",
          .most = "100000 mm/min",
          .doc = "the rate at which it rises, as measured over some minutes; without a sign"},
      Key{.name = "deadband",
          .kind = Kind::level_rate,
          .otherwise = "a fifth of faster_than",
          .least = "0.01 mm/min",
          .most = "100000 mm/min",
          .doc = "how far the rate must come down before it clears"},
      after(habit.after),
      clear_after(habit.clear_after),
      priority(habit.priority),
      latch(habit.latch),
  };
}

constexpr Key part(Name name, const Section& section, Name doc) {
  return {.name = name, .kind = Kind::section, .section = &section, .doc = doc};
}
/// One that is there without being asked for.
constexpr Key standing(Name name, const Section& section, Name doc) {
  return {.name = name, .kind = Kind::section, .fallback = "{}", .section = &section, .doc = doc};
}

// Of a tank.
constexpr auto kLowKeys = level_alarm({"60 s", "60 s", "medium"});
constexpr auto kLowLowKeys = level_alarm({"60 s", "60 s", "high"});
constexpr auto kHighKeys = level_alarm({"5 s", "60 s", "medium"});
constexpr auto kHighHighKeys = level_alarm({"5 s", "60 s", "high"});
constexpr auto kRateKeys = rate_alarm({"60 s", "60 s", "medium"});
constexpr auto kUnwellKeys = plain_alarm({"60 s", "60 s", "medium"});
constexpr auto kDisagreeKeys = plain_alarm({"60 s", "60 s", "medium"});
constexpr Section kLow{.name = "low alarm", .doc = "The tank runs low.", .keys = kLowKeys};
constexpr Section kLowLow{.name = "low-low alarm", .doc = "The tank is nearly empty.", .keys = kLowLowKeys};
constexpr Section kHigh{.name = "high alarm", .doc = "The tank gets too full.", .keys = kHighKeys};
constexpr Section kHighHigh{
    .name = "high-high alarm", .doc = "The tank is about to overflow.", .keys = kHighHighKeys};
constexpr Section kRate{.name = "rate alarm",
                        .doc =
                            "The level moves faster than it should. While no rate can be told, as after a "
                            "pump of the tank started or stopped, it neither rises nor returns.",
                        .keys = kRateKeys};
constexpr auto kFloatHighKeys = plain_alarm({"5 s", "60 s", "high"});
constexpr Section kUnwell{.name = "unwell alarm",
                          .doc = "The gauge, or the floats that keep it, have been bad for so long.",
                          .keys = kUnwellKeys};
constexpr Section kFloatHigh{
    .name = "float-high alarm", .doc = "Water has reached the high float.", .keys = kFloatHighKeys};
constexpr Section kDisagree{.name = "disagree alarm",
                            .doc = "Its gauges contradict each other. While it stands, unwell is suppressed.",
                            .keys = kDisagreeKeys};

// A window in which nobody draws. Thornton J., Sturm R., Kunkel G., Water Loss Control, 2nd ed.: 02:00-04:00.
constexpr std::array kLeakKeys{
    Key{.name = "between",
        .kind = Kind::window,
        .fallback = "02:00-04:00",
        .doc = "when nobody draws water: 90 minutes to 12 hours of the night"},
    Key{.name = "more_than",
        .kind = Kind::flow,
        .required = true,
        .least = "0.1 L/h",
        .most = "1000 m3/h",
        .doc = "a flow out of the tank that shows in every hour of that window"},
    priority("medium"),
    latch("false"),
};
constexpr Section kLeak{.name = "leak alarm",
                        .doc =
                            "Water leaves the tank at night, hour after hour. Told at the end of the window; "
                            "a night that was not seen well enough changes nothing.",
                        .keys = kLeakKeys};

constexpr std::array kOfTankKeys{
    part("low-low", kLowLow, "the tank is nearly empty"),
    part("low", kLow, "the tank runs low"),
    part("high", kHigh, "the tank gets too full"),
    part("high-high", kHighHigh, "it is about to overflow"),
    part("rising", kRate, "the level rises too fast"),
    part("falling", kRate, "the level falls too fast"),
    part("leak", kLeak, "water leaves it while nobody draws"),
    standing("unwell", kUnwell, "the gauge has been bad; every tank has this alarm"),
    standing("disagree", kDisagree, "its gauges contradict each other; every tank with `gauges` has it"),
    standing("float-high", kFloatHigh, "water is where it must not be; every tank with `floats.high` has it"),
};

// Of a pump, a contact, a line, the gateway: all of them are always there.
constexpr auto kTrippedKeys = plain_alarm({"10 s", "0 s", "low"});
constexpr auto kLockedOutKeys = plain_alarm({"0 s", "0 s", "high"});
constexpr auto kStuckOnKeys = plain_alarm({"0 s", "0 s", "high"});
constexpr auto kNoFeedbackKeys = plain_alarm({"0 s", "0 s", "medium"});
constexpr auto kUnreachableKeys = plain_alarm({"10 s", "60 s", "high"});
constexpr auto kLineDownKeys = plain_alarm({"10 s", "60 s", "medium"});
constexpr auto kStateFileKeys = plain_alarm({"0 s", "0 s", "high", "true"});
constexpr auto kClockKeys = plain_alarm({"10 min", "0 s", "low"});
constexpr Section kTripped{.name = "tripped alarm",
                           .doc =
                               "It was stopped to protect it or a tank, and goes on by itself. Not of a pump "
                               "that is switched off; suppressed while a tank of it is out of service.",
                           .keys = kTrippedKeys};
constexpr Section kLockedOut{
    .name = "locked-out alarm", .doc = "It does not run again until it is reset.", .keys = kLockedOutKeys};
constexpr Section kStuckOn{.name = "stuck-on alarm",
                           .doc = "It runs although it is ordered off. Never put aside with its pump.",
                           .keys = kStuckOnKeys};
constexpr Section kNoFeedback{.name = "no-feedback alarm",
                              .doc = "It was ordered on and not seen running. Stands until it has run well.",
                              .keys = kNoFeedbackKeys};
constexpr Section kUnreachable{.name = "contact-unreachable alarm",
                               .doc = "It is not confirmed to be what it was ordered to be.",
                               .keys = kUnreachableKeys};
constexpr Section kLineDown{
    .name = "line-down alarm", .doc = "Nothing on it answers, or it is closed.", .keys = kLineDownKeys};
constexpr Section kStateFile{.name = "state-file alarm",
                             .doc = "What must outlive a power cut is not on the disk, or was lost.",
                             .keys = kStateFileKeys};
constexpr Section kClock{.name = "clock alarm", .doc = "The time of day is not known.", .keys = kClockKeys};

constexpr std::array kOfPumpKeys{
    standing("tripped", kTripped, "it was stopped to protect it or a tank"),
    standing("locked-out", kLockedOut, "it does not run again until it is reset"),
    standing("stuck-on", kStuckOn, "it runs although it is ordered off"),
    standing("no-feedback", kNoFeedback, "it is ordered on and not seen running; with `feedback`"),
};
constexpr std::array kOfContactKeys{standing("contact-unreachable", kUnreachable, "it is not confirmed")};
constexpr std::array kOfLineKeys{standing("line-down", kLineDown, "nothing on it answers")};
constexpr std::array kOfGatewayKeys{
    standing("state-file", kStateFile, "the state is not on the disk"),
    standing("clock", kClock, "the time of day is not known"),
};

constexpr Section alarms(Name name, std::span<const Key> keys) {
  return {.name = name, .doc = "What a person must act on.", .keys = keys};
}

}  // namespace

constinit const Section kTankAlarms = alarms("alarms of a tank", kOfTankKeys);
constinit const Section kPumpAlarms = alarms("alarms of a pump", kOfPumpKeys);
constinit const Section kContactAlarms = alarms("alarms of a contact", kOfContactKeys);
constinit const Section kLineAlarms = alarms("alarms of a line", kOfLineKeys);
constinit const Section kSiteAlarms = alarms("alarms of the gateway", kOfGatewayKeys);

}  // namespace stillwell::config
