#include "stillwell/alarm/kinds.hpp"

#include <array>

namespace stillwell {
namespace {

constexpr std::array kRows{
    KindRow{AlarmKind::low_low, "low-low", Subject::tank, "the tank is nearly empty",
            "Save water and look at the supply."},
    KindRow{AlarmKind::low, "low", Subject::tank, "the tank runs low", "Save water and look at the supply."},
    KindRow{AlarmKind::high, "high", Subject::tank, "the tank gets too full",
            "Find out what fills it before it overflows."},
    KindRow{AlarmKind::high_high, "high-high", Subject::tank, "the tank is about to overflow",
            "Find out what fills it before it overflows."},
    KindRow{AlarmKind::rising, "rising", Subject::tank, "the level rises too fast",
            "Find out what comes in, and whether there is room for it."},
    KindRow{AlarmKind::falling, "falling", Subject::tank, "the level falls too fast",
            "Look for a burst pipe or an open tap; close the outlet if nobody draws."},
    KindRow{
        AlarmKind::leak, "leak", Subject::tank, "water leaves the tank while nobody draws",
        "Look for a running toilet, tap or valve; close the outlet for a night to tell the pipes from the "
        "tank."},
    KindRow{AlarmKind::unwell, "unwell", Subject::tank, "the level is not known",
            "Look at its gauge or its floats, their supply and their line."},
    KindRow{AlarmKind::disagree, "disagree", Subject::tank, "its gauges contradict each other",
            "Measure the level by hand and mend the gauge that is wrong."},
    KindRow{AlarmKind::float_high, "float-high", Subject::tank, "water has reached its high float",
            "Find out why no pump stopped it before; look at the float."},
    KindRow{AlarmKind::tripped, "tripped", Subject::pump, "it was stopped to protect it or a tank",
            "Remove the cause; it goes on by itself."},
    KindRow{AlarmKind::locked_out, "locked-out", Subject::pump, "it does not run again until it is reset",
            "Find and remove the cause, then reset it."},
    KindRow{AlarmKind::stuck_on, "stuck-on", Subject::pump, "it runs although it is ordered off",
            "Isolate the motor by hand, look for a welded contactor."},
    KindRow{AlarmKind::no_feedback, "no-feedback", Subject::pump, "it is ordered on and not seen running",
            "Check fuse, overload relay, contactor and the wire of the feedback."},
    KindRow{AlarmKind::contact_unreachable, "contact-unreachable", Subject::contact,
            "it is not confirmed to be what it was ordered to be",
            "Treat what it switches as live; check the relay module, its supply and the line."},
    KindRow{AlarmKind::line_down, "line-down", Subject::line, "nothing on it answers",
            "Check the adapter, the cable and the supply of what hangs on it."},
    KindRow{AlarmKind::state_file, "state-file", Subject::gateway,
            "what must outlive a power cut is not on the disk",
            "Check the disk: full, read-only or worn out. After a loss look at the site and set each pump's "
            "mode."},
    KindRow{AlarmKind::clock, "clock", Subject::gateway, "the time of day is not known",
            "Check time synchronisation; until then allowed windows are closed."},
};

}  // namespace

std::span<const KindRow> kind_table() {
  return kRows;
}

const KindRow& row_of(AlarmKind kind) {
  return kRows.at(static_cast<std::size_t>(kind));
}

std::string_view to_word(AlarmKind kind) {
  return row_of(kind).word;
}

}  // namespace stillwell
