#include "stillwell/config/grammar.hpp"

#include "stillwell/config/grammar_common.hpp"

#include <algorithm>
#include <array>

namespace stillwell::config {
namespace {

constexpr std::array kSiteKeys{
    Key{.name = "id",
        .kind = Kind::id,
        .required = true,
        .doc = "names the gateway in topics, events and files"},
    Key{.name = "name", .otherwise = "the id", .doc = "for people"},
    Key{.name = "timezone",
        .kind = Kind::timezone,
        .otherwise = "the system's",
        .doc = "in which windows of the day are meant"},
    Key{.name = "scan",
        .kind = Kind::duration,
        .fallback = "1 s",
        .least = "100 ms",
        .most = "60 s",
        .doc = "how often the rules are solved at least; a reading that a pump depends on is solved at once"},
    Key{.name = "stagger",
        .kind = Kind::duration,
        .fallback = "2 s",
        .least = "0 s",
        .most = "60 s",
        .doc = "between the starts of two pumps; after a power cut all of them want to start at once"},
    Key{.name = "air",
        .kind = Kind::temperature,
        .list = true,
        .items = 2,
        .otherwise = "[-10 degC, 50 degC]",
        .least = "-40 degC",
        .most = "60 degC",
        .doc = "the coldest and the warmest air above the water in a year; how far the level of a gauge that "
               "states what it assumes may be wrong while its air temperature is not known"},
    Key{.name = "water",
        .kind = Kind::temperature,
        .list = true,
        .items = 2,
        .otherwise = "[0 degC, 30 degC]",
        .least = "0 degC",
        .most = "40 degC",
        .doc = "the coldest and the warmest water in a year; likewise for submerged gauges that tell the "
               "water's temperature"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kSiteAlarms,
        .doc = "how the alarms of the gateway itself behave"},
};

constexpr std::array<std::string_view, 5> kAccepts{"acknowledge", "silence", "shelve", "reset", "mode"};

constexpr std::array<std::string_view, 2> kDiscoveryForms{"device", "entity"};

constexpr std::array kBrokerKeys{
    Key{.name = "url", .kind = Kind::url, .required = true, .doc = "mqtts:// is with TLS"},
    Key{.name = "ca",
        .kind = Kind::expanded_path,
        .otherwise = "the system's authorities",
        .doc = "certificates that may sign the broker's"},
    Key{.name = "cert", .kind = Kind::expanded_path, .doc = "this gateway's own certificate"},
    Key{.name = "key", .kind = Kind::expanded_path, .doc = "the secret key of cert"},
    Key{.name = "user", .doc = "to log in with"},
    Key{.name = "password_file",
        .kind = Kind::expanded_path,
        .doc = "holds the password; it never stands in the configuration itself"},
    Key{.name = "accept",
        .kind = Kind::word,
        .list = true,
        .otherwise = "nothing",
        .words = kAccepts,
        .doc = "what whoever may publish to the broker may command: mode and reset make pumps start"},
    Key{.name = "discovery_prefix",
        .kind = Kind::topic,
        .otherwise = "no documents",
        .doc = "publish JSON discovery documents under this topic; the hub's documentation names it"},
    Key{.name = "discovery_form",
        .kind = Kind::word,
        .fallback = "device",
        .words = kDiscoveryForms,
        .doc = "a document of each device, or, for hubs that do not know those, of each entity"},
    Key{.name = "discovery_status",
        .kind = Kind::topic,
        .otherwise = "`status` under discovery_prefix",
        .doc = "where the hub says `online` when it has come; the documents are sent again then"},
};
constexpr std::array<std::string_view, 1> kNeedsKey{"key"};
constexpr std::array<std::string_view, 1> kNeedsCert{"cert"};
constexpr std::array<std::string_view, 1> kNeedsUser{"user"};
constexpr std::array<std::string_view, 1> kNeedsPrefix{"discovery_prefix"};
constexpr std::array kBrokerWhen{
    When{.key = "cert", .needs = kNeedsKey},
    When{.key = "key", .needs = kNeedsCert},
    When{.key = "password_file", .needs = kNeedsUser},
    When{.key = "discovery_form", .needs = kNeedsPrefix},
    When{.key = "discovery_status", .needs = kNeedsPrefix},
};

constexpr std::array kNotifyKeys{
    Key{.name = "run",
        .kind = Kind::text,
        .required = true,
        .list = true,
        .bare = true,
        .doc = "the program, by its absolute path, and its fixed arguments: `[/usr/local/bin/tell-me, "
               "--loud]`. No shell is between, and nothing of an event is ever an argument"},
    Key{.name = "for",
        .kind = Kind::word,
        .list = true,
        .bare = true,
        .fallback = "high",
        .words = kPriorities,
        .doc = "the priorities of alarms that are told; a lock-out of a pump counts as high"},
    Key{.name = "at_most",
        .kind = Kind::per_hour,
        .fallback = "10/h",
        .least = "1/h",
        .most = "60/h",
        .doc = "how often it is called in any hour; what is held back is counted, and the count is told with "
               "the next call or an hour later"},
    Key{.name = "within",
        .kind = Kind::duration,
        .fallback = "30 s",
        .least = "1 s",
        .most = "5 min",
        .doc = "how long it may take; then it is ended, with all that it started"},
};

constexpr std::array kLogLevelsKeys{
    Key{.name = "every",
        .kind = Kind::duration,
        .fallback = "60 s",
        .least = "1 s",
        .most = "1 h",
        .doc = "between two rows"},
    Key{.name = "keep",
        .kind = Kind::duration,
        .fallback = "400 d",
        .least = "31 d",
        .most = "3650 d",
        .doc = "how long; a file of a month is deleted when all of it is older. A row a minute of the "
               "orchard takes "
               "30 MB a year"},
};

constexpr std::array kRootKeys{
    Key{.name = "site",
        .kind = Kind::section,
        .required = true,
        .section = &kSite,
        .doc = "the gateway itself"},
    Key{.name = "broker",
        .kind = Kind::section,
        .section = &kBroker,
        .doc = "where to publish; without it the daemon runs and controls, and publishes nothing"},
    Key{.name = "notify",
        .kind = Kind::section,
        .section = &kNotify,
        .doc = "a program of the owner's that is told of alarms and lock-outs"},
    Key{.name = "log_levels",
        .kind = Kind::section,
        .section = &kLogLevels,
        .doc = "a log of levels, pumps and alarms in the state directory, which `rehearse` reads"},
    Key{.name = "lines",
        .kind = Kind::named,
        .required = true,
        .section = &kLine,
        .doc = "serial lines and gateways"},
    Key{.name = "gauges",
        .kind = Kind::named,
        .section = &kGauge,
        .doc = "level instruments; a tank names the one it trusts, unless floats keep it"},
    Key{.name = "switches",
        .kind = Kind::named,
        .section = &kSwitch,
        .doc = "on/off inputs: floats, contactor feedback, buttons"},
    Key{.name = "meters",
        .kind = Kind::named,
        .section = &kMeter,
        .doc = "what motors take: their power or their current"},
    Key{.name = "contacts",
        .kind = Kind::named,
        .section = &kContact,
        .doc = "outputs that switch pumps and horns"},
    Key{.name = "tanks",
        .kind = Kind::named,
        .required = true,
        .section = &kTank,
        .doc = "what holds the water"},
    Key{.name = "pumps", .kind = Kind::named, .section = &kPump, .doc = "what moves it"},
    Key{.name = "pump_sets", .kind = Kind::named, .section = &kPumpSet, .doc = "pumps that share one duty"},
    Key{.name = "annunciators",
        .kind = Kind::named,
        .section = &kAnnunciator,
        .doc = "horns and lamps that call people to alarms"},
};
constexpr Section kRoot{.name = "configuration",
                        .doc = "A site of stored water: its lines, instruments, tanks and pumps.",
                        .keys = kRootKeys};

}  // namespace

constinit const Section kSite{.name = "site", .doc = "The gateway itself.", .keys = kSiteKeys};
constinit const Section kBroker{
    .name = "broker",
    .doc = "The MQTT broker that is told everything.",
    .keys = kBrokerKeys,
    .when = kBrokerWhen,
};
constinit const Section kNotify{
    .name = "notify",
    .doc =
        "A local program that is run for an alarm that has risen and for a lock-out, with the line of the "
        "journal on its standard input; for sites without a broker.",
    .keys = kNotifyKeys};

constinit const Section kLogLevels{
    .name = "log_levels",
    .doc = "Levels over time, as comma-separated values in a file a month: levels-2026-03.csv.",
    .keys = kLogLevelsKeys};

const Section& grammar() {
  return kRoot;
}

const Key* find(const Section& section, std::string_view name) {
  for (const Key& key : section.keys) {
    if (key.name == name) return &key;
  }
  return nullptr;
}

bool grows(const Section& section) {
  return std::ranges::any_of(section.when, [](const When& rule) { return rule.adds != nullptr; });
}

}  // namespace stillwell::config
