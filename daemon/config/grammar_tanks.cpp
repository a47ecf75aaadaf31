// The grammar of tanks.
#include "stillwell/config/grammar.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

// What its gauges are trusted with.
constexpr std::array kSettleKeys{
    Key{.name = "spikes",
        .kind = Kind::integer,
        .fallback = "7",
        .least = "0",
        .most = "31",
        .doc = "readings in the window that finds spikes (an odd count); 0: they are not looked for"},
    Key{.name = "smooth",
        .kind = Kind::duration,
        .fallback = "10 s",
        .least = "0 s",
        .most = "10 min",
        .doc = "how long ripples are smoothed for people; pumps and alarms take the reading itself"},
    Key{.name = "fastest",
        .kind = Kind::level_rate,
        .otherwise = "the whole span in a minute, or what its pumps can move",
        .least = "1 mm/min",
        .most = "100000 mm/min",
        .doc = "a level that moves faster is a jump and not believed"},
    Key{.name = "noise",
        .kind = Kind::length,
        .fallback = "1 cm",
        .least = "0 mm",
        .most = "50 cm",
        .doc = "how far a true reading may be off; more scatter than this is no surface; 0: not judged"},
    Key{.name = "frozen_after",
        .kind = Kind::length,
        .otherwise = "5 × noise",
        .least = "0 mm",
        .most = "5 m",
        .doc = "how far pumps must have moved the water while the gauge stood still; 0: not judged"},
};
constexpr Section kSettle{.name = "settings of trust",
                          .doc = "How a true surface behaves in this tank; what does not is not believed.",
                          .keys = kSettleKeys};

constexpr std::array kTankGaugeKeys{
    Key{.name = "gauge", .kind = Kind::reference, .required = true, .refers = "gauges", .doc = "its id"},
    Key{.name = "to_floor",
        .kind = Kind::length,
        .otherwise = "the tank's",
        .least = "1 cm",
        .most = "100 m",
        .doc = "distance gauges: from this one's face to the floor, where it is mounted higher or lower"},
};
constexpr Section kTankGauge{.name = "gauge of several",
                             .doc = "One of a tank's gauges.",
                             .keys = kTankGaugeKeys,
                             .form = Form::map_or_word};
constexpr std::array<Name, 2> kCombine{"mean", "median"};

constexpr std::array kFloatsKeys{
    Key{.name = "start",
        .kind = Kind::reference,
        .required = true,
        .refers = "switches",
        .doc = "on when water has reached it. drain: the upper one, on starts the pump. fill: the lower one, "
               "off starts it"},
    Key{.name = "stop",
        .kind = Kind::reference,
        .required = true,
        .refers = "switches",
        .doc =
            "drain: the lower one, off stops the pump; its broken wire must look like off. fill: the upper "
            "one, on stops it; its broken wire must look like on"},
    Key{.name = "high",
        .kind = Kind::reference,
        .refers = "switches",
        .doc =
            "hangs above both: on brings the alarm float-high, and trips a fill pump (`float`); its broken "
            "wire must look like on"},
};
constexpr Section kFloats{
    .name = "floats",
    .doc =
        "A tank without a gauge, kept by floats alone. A float that is on above one that "
        "is off contradicts it: nobody knows where the water is, the pump trips "
        "(`tank-unknown`) and `unwell` rises.",
    .keys = kFloatsKeys};

constexpr std::array kMarkKeys{
    Key{.name = "float",
        .kind = Kind::reference,
        .required = true,
        .refers = "switches",
        .doc = "a switch that says what its broken wire looks like; in that state it confirms nothing"},
    Key{.name = "on_above",
        .kind = Kind::set_point,
        .doc = "the height that it hangs at, where on means that the water is above it"},
    Key{.name = "on_below", .kind = Kind::set_point, .doc = "likewise where on means that it is below"},
    Key{.name = "swing",
        .kind = Kind::length,
        .fallback = "5 cm",
        .least = "1 cm",
        .most = "1 m",
        .doc = "so far above or below it may turn, by its play, by waves and by what the gauge may be wrong"},
};
constexpr std::array<Name, 2> kMarkHeights{"on_above", "on_below"};
constexpr std::array kMarkOneOf{OneOf{kMarkHeights}};
constexpr Section kMark{.name = "mark",
                        .doc = "A float of which it is known how high it hangs.",
                        .keys = kMarkKeys,
                        .one_of = kMarkOneOf};

constexpr std::array<Name, 2> kBy{"level", "volume"};
constexpr std::array kTankKeys{
    Key{.name = "name", .otherwise = "its id", .doc = "for people"},
    Key{.name = "gauge", .kind = Kind::reference, .refers = "gauges", .doc = "the one it trusts"},
    Key{.name = "gauges",
        .kind = Kind::section,
        .list = true,
        .section = &kTankGauge,
        .doc =
            "several that watch each other: two that disagree make the level bad, of three or more the odd "
            "one is dropped"},
    Key{.name = "floats",
        .kind = Kind::section,
        .section = &kFloats,
        .doc = "instead of a gauge: then nothing is known of levels and volumes, and no key tells of them"},
    Key{.name = "marks",
        .kind = Kind::section,
        .list = true,
        .section = &kMark,
        .doc =
            "floats at known heights: one that was seen to turn confirms what a gauge shows after a jump, if "
            "the water cannot have come to its side otherwise"},
    Key{.name = "combine",
        .kind = Kind::word,
        .otherwise = "median",
        .words = kCombine,
        .doc = "how the level is made of several"},
    Key{.name = "disagree",
        .kind = Kind::length,
        .otherwise = "5 cm",
        .least = "1 mm",
        .most = "10 m",
        .doc = "farther apart than this they contradict each other"},
    Key{.name = "to_floor",
        .kind = Kind::length,
        .least = "1 cm",
        .most = "100 m",
        .doc =
            "distance gauges: from the sensor's face to the floor, measured with a tape along the vertical"},
    Key{.name = "to_full",
        .kind = Kind::length,
        .least = "0 m",
        .most = "100 m",
        .doc = "distance gauges: from the sensor's face to the full line"},
    Key{.name = "full",
        .kind = Kind::length,
        .least = "1 cm",
        .most = "100 m",
        .doc = "depth gauges: level of the full line"},
    Key{.name = "unusable",
        .kind = Kind::length,
        .fallback = "0 cm",
        .least = "0 m",
        .most = "100 m",
        .doc = "depth below the outlet; not counted as usable"},
    Key{.name = "holds",
        .kind = Kind::section,
        .section = &kContents,
        .doc = "how much at which level; needed beside a gauge"},
    Key{.name = "by",
        .kind = Kind::word,
        .fallback = "level",
        .words = kBy,
        .doc = "volume: percent means percent of volume everywhere for this tank"},
    Key{.name = "settle",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kSettle,
        .doc = "when its gauges are believed"},
    Key{.name = "draws_at_most",
        .kind = Kind::flow,
        .otherwise = "not known",
        .least = "0 L/min",
        .most = "100000 L/min",
        .doc =
            "the most that is drawn otherwise than by a pump named here; makes the check for jumps sharper"},
    Key{.name = "gains_at_most",
        .kind = Kind::flow,
        .otherwise = "not known",
        .least = "0 L/min",
        .most = "100000 L/min",
        .doc = "likewise the most that comes, as rain, from the ground or the mains; with it a gauge that "
               "stands "
               "still while a pump empties the tank is found frozen"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kTankAlarms,
        .doc = "set points"},
};
constexpr std::array<Name, 3> kFullLine{"to_floor", "full", "floats"};
constexpr std::array<Name, 3> kWhatSeesIt{"gauge", "gauges", "floats"};
constexpr std::array<Name, 2> kItsContents{"holds", "floats"};
constexpr std::array kTankOneOf{OneOf{kWhatSeesIt}, OneOf{kFullLine}, OneOf{kItsContents}};
constexpr std::array<Name, 6> kOfLevels{"unusable",      "by",   "settle", "draws_at_most",
                                        "gains_at_most", "marks"};
constexpr std::array<Name, 1> kToFloor{"to_floor"};
constexpr std::array<Name, 1> kToFull{"to_full"};
constexpr std::array<Name, 1> kGaugesName{"gauges"};
constexpr std::array kTankWhen{
    When{.key = "combine", .needs = kGaugesName}, When{.key = "disagree", .needs = kGaugesName},
    When{.key = "to_floor", .needs = kToFull}, When{.key = "to_full", .needs = kToFloor},
    When{.key = "floats", .forbids = kOfLevels}};

}  // namespace

constinit const Section kTank{.name = "tank",
                              .doc = "A tank, well or sump and its gauge, or the floats that keep it.",
                              .keys = kTankKeys,
                              .one_of = kTankOneOf,
                              .when = kTankWhen};

}  // namespace stillwell::config
