// The grammar of annunciators.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

constexpr std::array kAnnunciatorKeys{
    Key{.name = "contact",
        .kind = Kind::reference,
        .required = true,
        .refers = "contacts",
        .doc = "what sounds or lights it; never a pump's"},
    Key{.name = "sounds_for",
        .kind = Kind::word,
        .list = true,
        .otherwise = "[high, medium]",
        .words = kPriorities,
        .doc = "alarms of these priorities"},
    Key{.name = "silence_switch",
        .kind = Kind::reference,
        .refers = "switches",
        .doc = "a button that silences it; never a switch that a pump depends on"},
    Key{.name = "again_after",
        .kind = Kind::duration,
        .otherwise = "silent until a new alarm",
        .least = "1 min",
        .most = "24 h",
        .doc = "silenced, it sounds again after this long while an alarm still stands"},
};

}  // namespace

constinit const Section kAnnunciator{
    .name = "annunciator", .doc = "A horn or a lamp that calls people to alarms.", .keys = kAnnunciatorKeys};

}  // namespace stillwell::config
