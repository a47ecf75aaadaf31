// The grammar of what shows that a pump runs dry.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array kRiseKeys{
    Key{.name = "at_least",
        .kind = Kind::level_rate,
        .required = true,
        .least = "0.1 mm/min",
        .most = "10000 mm/min",
        .doc = "so fast its tank rises (drain: falls), with the draw there is"},
    Key{.name = "within",
        .kind = Kind::duration,
        .required = true,
        .least = "10 s",
        .most = "24 h",
        .doc = "by at_least for so long, within so long; again and again while it runs"},
};
constexpr Section kRise{.name = "rise guard", .doc = "The tank must follow.", .keys = kRiseKeys};

constexpr std::array kFlowKeys{
    Key{.name = "switch",
        .kind = Kind::reference,
        .required = true,
        .refers = "switches",
        .doc = "on while water flows; its broken wire must look like off"},
    Key{.name = "within",
        .kind = Kind::duration,
        .fallback = "10 s",
        .least = "200 ms",
        .most = "10 min",
        .doc = "how long the flow may take to come, and to end"},
};
constexpr Section kFlow{
    .name = "flow guard", .doc = "Flow is seen while it runs, and none before.", .keys = kFlowKeys};

constexpr std::array kPowerKeys{
    Key{.name = "meter",
        .kind = Kind::reference,
        .required = true,
        .refers = "meters",
        .doc = "in the supply of this motor alone"},
    Key{.name = "below",
        .kind = Kind::load,
        .required = true,
        .doc = "in the meter's unit: between what the motor takes with water and without. While the pump is "
               "off, as much shows that its motor runs (stuck-on)"},
    Key{.name = "for",
        .kind = Kind::duration,
        .fallback = "5 s",
        .least = "200 ms",
        .most = "10 min",
        .doc = "so long it may take less while it runs, as when it starts; and so long as much while off"},
};
constexpr Section kPower{.name = "power guard",
                         .doc = "A motor that moves no water takes less than one that does.",
                         .keys = kPowerKeys};

constexpr std::array kRetryKeys{
    Key{.name = "after",
        .kind = Kind::duration,
        .fallback = "30 min",
        .least = "10 s",
        .most = "24 h",
        .doc = "the rest after a dry run; doubles with each that follows, up to a day"},
    Key{.name = "times",
        .kind = Kind::integer,
        .fallback = "3",
        .least = "0",
        .most = "100",
        .doc = "so often it tries again; the next dry run locks it out"},
    Key{.name = "proved_by",
        .kind = Kind::duration,
        .fallback = "10 min",
        .least = "10 s",
        .most = "24 h",
        .doc = "a run so long forgives what was before it, a missing feedback too"},
};
constexpr Section kRetry{.name = "retry", .doc = "After no-flow, no-power or no-rise.", .keys = kRetryKeys};

constexpr std::array kDryRunKeys{
    Key{.name = "source_below",
        .kind = Kind::set_point,
        .doc = "of the suction tank: the pump trips below it"},
    Key{.name = "source_clear",
        .kind = Kind::set_point,
        .otherwise = "source_below + 10 % of span",
        .doc = "and may run again from here"},
    Key{.name = "flow", .kind = Kind::section, .section = &kFlow, .doc = "a flow switch in its delivery"},
    Key{.name = "power", .kind = Kind::section, .section = &kPower, .doc = "what its motor takes"},
    Key{.name = "rise",
        .kind = Kind::section,
        .section = &kRise,
        .doc = "the level of its tank; slow, so only beside another guard"},
    Key{.name = "retry",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kRetry,
        .doc = "and what follows"},
};
constexpr std::array<Name, 1> kSourceBelow{"source_below"};
constexpr std::array kDryRunWhen{When{.key = "source_clear", .needs = kSourceBelow}};

constexpr std::array kUnaskedKeys{
    Key{.name = "at_least",
        .kind = Kind::level_rate,
        .required = true,
        .least = "0.1 mm/min",
        .most = "10000 mm/min",
        .doc = "so fast its tank rises (drain: falls) when its motor runs unasked"},
    Key{.name = "within",
        .kind = Kind::duration,
        .required = true,
        .least = "10 s",
        .most = "24 h",
        .doc =
            "by at_least for so long, within so long; together at least 1 cm. It is found within twice that"},
};

}  // namespace

constinit const Section kUnasked{
    .name = "movement unasked",
    .doc =
        "The level of its tank moves its way although the pump is off: `stuck-on`, and it is locked out "
        "until "
        "a person has looked. Only for a tank that nothing but pumps of this site moves that way: not for "
        "one "
        "that rain, the mains or a hose fills (drain: that somebody draws from).",
    .keys = kUnaskedKeys};

constinit const Section kDryRun{.name = "dry-run guard",
                                .doc = "A pump that runs dry is damaged within minutes.",
                                .keys = kDryRunKeys,
                                .when = kDryRunWhen};

}  // namespace stillwell::config
