// The grammar of pumps.
#include "stillwell/config/grammar.hpp"

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

constexpr std::array kDryRunKeys{
    Key{.name = "source_below",
        .kind = Kind::set_point,
        .required = true,
        .doc = "of the suction tank: the pump trips below it"},
    Key{.name = "source_clear",
        .kind = Kind::set_point,
        .otherwise = "source_below + 10 % of span",
        .doc = "and may run again from here"},
};
constexpr std::array<Name, 4> kDryRunLater{"rise", "power", "flow", "retry"};
constexpr Section kDryRun{.name = "dry-run guard",
                          .doc = "A pump that runs dry is damaged within minutes.",
                          .keys = kDryRunKeys,
                          .later = kDryRunLater};

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

constexpr std::array<Name, 1> kKinds{"pump"};
constexpr std::array<Name, 1> kKindsLater{"valve"};
constexpr std::array<Name, 2> kDuties{"fill", "drain"};
constexpr std::array<Name, 1> kUnwatched{"unwatched"};
constexpr std::array<Name, 2> kModes{"auto", "off"};
constexpr std::array kPumpKeys{
    Key{.name = "name", .otherwise = "its id", .doc = "for people"},
    Key{.name = "kind",
        .kind = Kind::word,
        .fallback = "pump",
        .words = kKinds,
        .later = kKindsLater,
        .doc = "of drive"},
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
        .doc = "fill: the suction; unwatched demands a source_float"},
    Key{.name = "to",
        .kind = Kind::reference,
        .refers = "tanks",
        .doc = "drain: the tank whose high level stops it"},
    Key{.name = "start_at",
        .kind = Kind::set_point,
        .required = true,
        .doc = "fill: at or below. drain: at or above"},
    Key{.name = "stop_at",
        .kind = Kind::set_point,
        .required = true,
        .doc = "fill: at or above. drain: at or below"},
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
    Key{.name = "dry_run",
        .kind = Kind::section,
        .section = &kDryRun,
        .doc = "guards the pump by its suction level"},
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
    Key{.name = "mode",
        .kind = Kind::word,
        .fallback = "auto",
        .words = kModes,
        .doc = "at the first start; afterwards the last one is kept"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kPumpAlarms,
        .doc = "how its alarms behave; they are there without being named"},
};
constexpr std::array<Name, 1> kFrom{"from"};
constexpr std::array<Name, 1> kTo{"to"};
constexpr std::array<Name, 1> kSourceFloat{"source_float"};
constexpr std::array<Name, 1> kDryRunName{"dry_run"};
constexpr std::array kPumpWhen{
    When{.key = "duty", .word = "fill", .needs = kFrom, .forbids = kTo},
    When{.key = "duty", .word = "drain", .forbids = kFrom},
    When{.key = "from", .word = "unwatched", .needs = kSourceFloat, .forbids = kDryRunName},
};
constexpr std::array<Name, 5> kPumpLater{"needs", "selector", "hand_for", "when_unknown", "isolator"};

}  // namespace

constinit const Section kPump{.name = "pump",
                              .doc = "A pump and the rules it runs by.",
                              .keys = kPumpKeys,
                              .when = kPumpWhen,
                              .later = kPumpLater};

}  // namespace stillwell::config
