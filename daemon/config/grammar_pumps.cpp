// The grammar of pumps.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array kFeedbackKeys{
    Key{.name = "switch",
        .kind = Kind::reference,
        .required = true,
        .refers = "switches",
        .doc = "on while the contactor is closed"},
    Key{.name = "within",
        .kind = Kind::duration,
        .fallback = "3 s",
        .least = "200 ms",
        .most = "60 s",
        .doc = "how long the contactor may take to follow"},
};
constexpr Section kFeedback{
    .name = "feedback",
    .doc = "Proof that the contactor follows; the read-back proves the relay module only.",
    .keys = kFeedbackKeys};

constexpr std::array kTripKeys{
    Key{.name = "high",
        .kind = Kind::set_point,
        .otherwise = "fill: 2 % of span above stop_at",
        .doc = "fill: of the tank. drain: of the receiver"},
    Key{.name = "float",
        .kind = Kind::reference,
        .refers = "switches",
        .doc = "a float that says too full; its broken wire must look like on"},
};
constexpr Section kTrips{.name = "trips", .doc = "What stops the pump besides stop_at.", .keys = kTripKeys};

constexpr std::array kLimitKeys{
    Key{.name = "on_at_least",
        .kind = Kind::duration,
        .fallback = "0 s",
        .least = "0 s",
        .most = "1 h",
        .doc = "the end of a window waits for it; levels, trips and doubt never do"},
    Key{.name = "off_at_least",
        .kind = Kind::duration,
        .fallback = "60 s",
        .least = "0 s",
        .most = "24 h",
        .doc = "rest of the motor between two runs"},
    Key{.name = "starts_per_hour",
        .kind = Kind::integer,
        .fallback = "8",
        .least = "0",
        .most = "60",
        .doc = "0: not limited"},
    Key{.name = "run_at_most",
        .kind = Kind::duration,
        .fallback = "2 h",
        .least = "0 s",
        .most = "7 d",
        .doc = "a longer run locks the pump out; 0 s: not limited"},
    Key{.name = "after_power_up",
        .kind = Kind::duration,
        .fallback = "30 s",
        .least = "0 s",
        .most = "1 h",
        .doc = "wait after the start of the daemon"},
};
constexpr Section kLimits{.name = "limits", .doc = "What the motor can stand.", .keys = kLimitKeys};

constexpr std::array kSelectorKeys{
    Key{.name = "off",
        .kind = Kind::reference,
        .refers = "switches",
        .doc = "on: off, whatever anybody else says; its broken wire must look like on"},
    Key{.name = "hand",
        .kind = Kind::reference,
        .refers = "switches",
        .doc = "on: in hand as long as it stands there; its broken wire must look like off"},
};
constexpr Section kSelector{.name = "selector",
                            .doc = "A panel beside the pump. Both switches on at once is off.",
                            .keys = kSelectorKeys};

constexpr std::array<Name, 1> kStop{"stop"};
constexpr std::array kWhenUnknownKeys{
    Key{.name = "rule", .kind = Kind::word, .words = kStop, .doc = "stop: it waits until the level is known"},
    Key{.name = "run_for",
        .kind = Kind::duration,
        .least = "10 s",
        .most = "1 h",
        .doc = "once the level is unknown for a minute it empties the tank blind for so long: it may run dry "
               "that long, and every other trip still "
               "counts"},
    Key{.name = "every", .kind = Kind::duration, .least = "1 min", .most = "24 h", .doc = "and so often"},
};
constexpr std::array<Name, 2> kRules{"rule", "run_for"};
constexpr std::array<Name, 1> kRunForName{"run_for"};
constexpr std::array<Name, 1> kEveryName{"every"};
constexpr std::array kWhenUnknownOneOf{OneOf{kRules}};
constexpr std::array kWhenUnknownWhen{When{.key = "run_for", .needs = kEveryName},
                                      When{.key = "every", .needs = kRunForName}};
constexpr Section kWhenUnknown{.name = "blind runs",
                               .doc = "For a sump that must not flood. `when_unknown: stop` is the default.",
                               .keys = kWhenUnknownKeys,
                               .one_of = kWhenUnknownOneOf,
                               .when = kWhenUnknownWhen,
                               .form = Form::map_or_word};

constexpr std::array<Name, 2> kPumpKinds{"pump", "valve"};

constexpr std::array kMotorKeys{
    Key{.name = "rated",
        .kind = Kind::power,
        .required = true,
        .least = "1 W",
        .most = "186.4 kW",
        .doc = "its rating at the shaft; 1 hp is 745.7 W"},
    Key{.name = "poles",
        .kind = Kind::integer,
        .required = true,
        .least = "2",
        .most = "6",
        .doc = "2, 4 or 6; at 50 Hz nearly 3000, 1500 or 1000 turns a minute"},
};
constexpr Section kMotor{.name = "motor",
                         .doc =
                             "From its nameplate; `check` compares the limits with what such a motor "
                             "stands (NEMA MG 10, Table 2-3: three-phase motors).",
                         .keys = kMotorKeys};

constexpr std::array<Name, 2> kDuties{"fill", "drain"};
constexpr std::array<Name, 1> kUnwatched{"unwatched"};
constexpr std::array<Name, 2> kModes{"auto", "off"};
constexpr std::array kPumpKeys{
    Key{.name = "name", .otherwise = "its id", .doc = "for people"},
    Key{.name = "kind",
        .kind = Kind::word,
        .fallback = "pump",
        .words = kPumpKinds,
        .doc = "a valve has no suction, and nothing that could run dry"},
    Key{.name = "duty",
        .kind = Kind::word,
        .required = true,
        .words = kDuties,
        .doc = "fill: keeps its tank filled. drain: keeps it emptied"},
    Key{.name = "tank",
        .kind = Kind::reference,
        .required = true,
        .refers = "tanks",
        .doc = "fill: the one that receives. drain: the one that is emptied"},
    Key{.name = "from",
        .kind = Kind::reference,
        .words = kUnwatched,
        .refers = "tanks",
        .doc = "fill: the suction; unwatched, or a tank that is kept by floats, demands a source_float, "
               "dry_run.flow or dry_run.power"},
    Key{.name = "to",
        .kind = Kind::reference,
        .refers = "tanks",
        .doc = "drain: the tank whose high level stops it; it must have a gauge"},
    Key{.name = "start_at",
        .kind = Kind::set_point,
        .doc = "fill: at or below. drain: at or above. Not where floats keep the tank, nor in a set"},
    Key{.name = "stop_at", .kind = Kind::set_point, .doc = "fill: at or above. drain: at or below. Likewise"},
    Key{.name = "contact",
        .kind = Kind::reference,
        .required = true,
        .refers = "contacts",
        .doc = "what switches it"},
    Key{.name = "feedback", .kind = Kind::section, .section = &kFeedback, .doc = "proves the contactor"},
    Key{.name = "trips",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kTrips,
        .doc = "independent of stop_at"},
    Key{.name = "source_float",
        .kind = Kind::reference,
        .refers = "switches",
        .doc = "a float that says the suction is too low; its broken wire must look like on"},
    Key{.name = "flow_rate",
        .kind = Kind::flow,
        .least = "0.01 L/min",
        .most = "10000 m3/h",
        .doc = "nameplate; without it no gauge of its tanks is found frozen, and their accounts know nothing "
               "of the time "
               "in which it runs"},
    Key{.name = "dry_run", .kind = Kind::section, .section = &kDryRun, .doc = "what shows that it runs dry"},
    Key{.name = "unasked",
        .kind = Kind::section,
        .section = &kUnasked,
        .doc = "a tank that moves although it is off shows that its motor runs"},
    Key{.name = "limits",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kLimits,
        .doc = "for the motor's sake"},
    Key{.name = "motor",
        .kind = Kind::section,
        .section = &kMotor,
        .doc = "lets `check` judge starts_per_hour and off_at_least; nothing else depends on it"},
    Key{.name = "allowed",
        .kind = Kind::window,
        .list = true,
        .otherwise = "always",
        .doc = "windows of the day, in site.timezone, in which it may run"},
    Key{.name = "needs",
        .kind = Kind::reference,
        .list = true,
        .refers = "pumps",
        .doc = "pumps and valves that must be proved on before it starts, and as long as it runs"},
    Key{.name = "selector", .kind = Kind::section, .section = &kSelector, .doc = "switches of a panel"},
    Key{.name = "isolator",
        .kind = Kind::reference,
        .refers = "contacts",
        .doc = "a second contactor above the first: closed, and opened when the motor is stuck on"},
    Key{.name = "when_unknown",
        .kind = Kind::section,
        .otherwise = "stop",
        .section = &kWhenUnknown,
        .doc = "drain: what to do while the level of its tank is not known"},
    Key{.name = "hand_for",
        .kind = Kind::duration,
        .fallback = "15 min",
        .least = "1 min",
        .most = "24 h",
        .doc = "hand ends by itself after so long, in the mode before it"},
    Key{.name = "mode",
        .kind = Kind::word,
        .fallback = "auto",
        .words = kModes,
        .doc = "at the first start; afterwards the last one is kept. Hand is no first mode: it is for a "
               "person who "
               "is there, and ends by itself"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kPumpAlarms,
        .doc = "how its alarms behave; they are there without being named"},
};
constexpr std::array<Name, 2> kOrders{"alternate", "fixed"};
constexpr std::array kPumpSetKeys{
    Key{.name = "pumps",
        .kind = Kind::reference,
        .required = true,
        .list = true,
        .fewest = 2,
        .refers = "pumps",
        .doc = "two or more, of one duty at one tank; each has its own contact, guards and limits"},
    Key{.name = "order",
        .kind = Kind::word,
        .fallback = "alternate",
        .words = kOrders,
        .doc = "alternate: the next run begins with the pump after that which started last. fixed: with the "
               "first one that can"},
    Key{.name = "start_at",
        .kind = Kind::set_point,
        .doc = "calls one pump. fill: at or below. drain: at or above. Not where floats keep the tank"},
    Key{.name = "second_at",
        .kind = Kind::set_point,
        .doc = "calls another one beside it. fill: below start_at. drain: above it. Likewise; there the "
               "high float of a drained tank calls it"},
    Key{.name = "stop_at", .kind = Kind::set_point, .doc = "for both. Likewise"},
};

constexpr std::array<Name, 1> kFrom{"from"};
constexpr std::array<Name, 2> kDrainOnly{"to", "when_unknown"};
constexpr std::array<Name, 3> kOfSuction{"from", "source_float", "dry_run"};
constexpr std::array kPumpWhen{
    When{.key = "duty", .word = "fill", .needs = kFrom, .unless = "kind", .unless_word = "valve"},
    When{.key = "duty", .word = "fill", .forbids = kDrainOnly},
    When{.key = "duty", .word = "drain", .forbids = kFrom},
    When{.key = "kind", .word = "valve", .forbids = kOfSuction},
};

}  // namespace

constinit const Section kPump{
    .name = "pump", .doc = "A pump and the rules it runs by.", .keys = kPumpKeys, .when = kPumpWhen};

constinit const Section kPumpSet{
    .name = "pump set",
    .doc =
        "Pumps that share one duty. The levels belong to the set; the next one takes "
        "over from a pump that cannot, and never from one that ran dry.",
    .keys = kPumpSetKeys};

}  // namespace stillwell::config
