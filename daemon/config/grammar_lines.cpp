// The grammar of lines and of the switches and contacts on them.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

// Lines.
constexpr std::array<Name, 2> kCarries{"modbus", "range-frames"};
constexpr std::array kLineKeys{
    Key{.name = "port", .kind = Kind::path, .doc = "serial device, best by /dev/serial/by-id/…"},
    Key{.name = "tcp",
        .kind = Kind::host_port,
        .doc = "a gateway that carries Modbus TCP to the stations behind it; its port is 502 when none is "
               "given"},
    Key{.name = "speed", .kind = Kind::serial, .doc = "serial: baud, data bits, parity, stop bits"},
    Key{.name = "carries",
        .kind = Kind::word,
        .required = true,
        .words = kCarries,
        .doc = "what talks on it"},
    Key{.name = "timeout",
        .kind = Kind::duration,
        .fallback = "300 ms",
        .least = "20 ms",
        .most = "5 s",
        .doc = "how long a reply may take, or a connection; over tcp longer than the gateway itself waits"},
    Key{.name = "tries",
        .kind = Kind::integer,
        .fallback = "2",
        .least = "1",
        .most = "5",
        .doc = "how often a request is sent before its reading fails"},
    Key{.name = "quiet",
        .kind = Kind::duration,
        .otherwise = "3.5 characters, 1.75 ms above 19200 baud",
        .least = "1 ms",
        .most = "1 s",
        .doc = "serial: pause between requests; more for slow modules"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kLineAlarms,
        .doc = "how its alarm behaves"},
};
constexpr std::array<Name, 2> kWays{"port", "tcp"};
constexpr std::array kLineOneOf{OneOf{kWays}};
constexpr std::array<Name, 1> kSpeedName{"speed"};
constexpr std::array<Name, 2> kSerialOnly{"speed", "quiet"};
constexpr std::array<Name, 1> kTcpName{"tcp"};
constexpr std::array kLineWhen{When{.key = "port", .needs = kSpeedName},
                               When{.key = "tcp", .forbids = kSerialOnly},
                               When{.key = "carries", .word = "range-frames", .forbids = kTcpName}};

// Switches.
constexpr std::array<Name, 2> kBitTables{"discrete", "coil"};
constexpr std::array<Name, 2> kActive{"high", "low"};
constexpr std::array<Name, 2> kOnOff{"on", "off"};
/// A key that one of two ways of wiring needs and the other does not have.
constexpr Key of_one_way(Key key) {
  key.required = false;
  return key;
}
constexpr Key every(Name doc) {
  Key key = kEvery;
  key.doc = doc;
  return key;
}
constexpr Key kBoard{.name = "board",
                     .kind = Kind::id,
                     .doc = "a pin of the computer itself instead: gpiochip0 for /dev/gpiochip0"};
constexpr Key kPin{
    .name = "pin", .kind = Kind::integer, .least = "0", .most = "1023", .doc = "its offset on the board"};
constexpr std::array<Name, 3> kPulls{"none", "up", "down"};
constexpr std::array kSwitchKeys{
    of_one_way(kOnLine),
    of_one_way(kStation),
    Key{.name = "table",
        .kind = Kind::word,
        .words = kBitTables,
        .doc = "discrete inputs are read with function 2, coils with 1"},
    of_one_way(kAddress),
    kBoard,
    kPin,
    Key{.name = "pull",
        .kind = Kind::word,
        .fallback = "none",
        .words = kPulls,
        .doc = "the resistor in the computer that holds an open pin high or low"},
    Key{.name = "active",
        .kind = Kind::word,
        .fallback = "high",
        .words = kActive,
        .doc = "low: the open input means on, as with a normally-closed float"},
    Key{.name = "broken",
        .kind = Kind::word,
        .otherwise = "not declared, and then no trip may rely on it",
        .words = kOnOff,
        .doc = "what a broken wire looks like"},
    every("how often it is read; a pin is looked at every 50 ms, and told at once when it changes"),
    kStaleAfter,
    Key{.name = "debounce",
        .kind = Kind::duration,
        .fallback = "50 ms",
        .least = "0 s",
        .most = "5 s",
        .doc = "silence_switch of an annunciator: a second reading at least this much later must show it "
               "pressed too; 0 s: one reading is enough"},
};
constexpr std::array<Name, 2> kPlaces{"line", "board"};
constexpr std::array<Name, 3> kBitName{"station", "table", "address"};
constexpr std::array<Name, 1> kPinName{"pin"};
constexpr std::array<Name, 2> kPinAndPull{"pin", "pull"};
constexpr std::array kSwitchOneOf{OneOf{kPlaces}};
constexpr std::array kSwitchWhen{When{.key = "line", .needs = kBitName, .forbids = kPinAndPull},
                                 When{.key = "board", .needs = kPinName, .forbids = kBitName}};

// Contacts.
constexpr std::array kRegisterOutputKeys{
    kAddress,
    Key{.name = "on",
        .kind = Kind::integer,
        .required = true,
        .least = "0",
        .most = "65535",
        .doc = "written for on"},
    Key{.name = "off",
        .kind = Kind::integer,
        .required = true,
        .least = "0",
        .most = "65535",
        .doc = "written for off"},
};
constexpr Section kRegisterOutput{.name = "register output",
                                  .doc = "A holding register that switches a relay.",
                                  .keys = kRegisterOutputKeys};
constexpr std::array kRefreshKeys{
    kAddress,
    Key{.name = "for",
        .kind = Kind::duration,
        .required = true,
        .least = "1 s",
        .most = "1 h",
        .doc = "the relay drops out this long after the last refresh"},
    Key{.name = "unit",
        .kind = Kind::duration,
        .fallback = "1 s",
        .least = "1 ms",
        .most = "1 h",
        .doc = "what the module counts in"},
};
constexpr Section kRefresh{.name = "refresh",
                           .doc = "A drop-out timer in the relay module: a holding register.",
                           .keys = kRefreshKeys};
constexpr std::array<Name, 2> kFailsOff{"wired", "accepted-risk"};
constexpr std::array kContactKeys{
    of_one_way(kOnLine),
    of_one_way(kStation),
    Key{.name = "coil",
        .kind = Kind::integer,
        .least = "0",
        .most = "65535",
        .doc = "address of the relay's coil"},
    Key{.name = "register",
        .kind = Kind::section,
        .section = &kRegisterOutput,
        .doc = "for modules that switch by a holding register"},
    kBoard,
    kPin,
    Key{.name = "active",
        .kind = Kind::word,
        .fallback = "high",
        .words = kActive,
        .doc = "of a pin. low: it is driven low for on; such a relay may close while the computer starts"},
    Key{.name = "refresh",
        .kind = Kind::section,
        .section = &kRefresh,
        .doc = "the relay drops out by itself unless refreshed: the best way for a contact to fail; a pin "
               "has none"},
    Key{.name = "fails_off",
        .kind = Kind::word,
        .words = kFailsOff,
        .doc = "a pump's contact and its isolator need it, or refresh. wired: a hard-wired cutoff stops the "
               "pump whatever this relay does. accepted-risk: nothing does"},
    Key{.name = "every",
        .kind = Kind::duration,
        .fallback = "1 s",
        .least = "100 ms",
        .most = "30 s",
        .doc = "how often it is read back while nothing changes"},
    Key{.name = "alarms",
        .kind = Kind::section,
        .fallback = "{}",
        .section = &kContactAlarms,
        .doc = "how its alarm behaves"},
};
constexpr std::array<Name, 3> kOutputs{"coil", "register", "pin"};
constexpr std::array kContactOneOf{OneOf{kPlaces}, OneOf{kOutputs}};
constexpr std::array<Name, 1> kStationOfLine{"station"};
constexpr std::array<Name, 2> kPinOutput{"pin", "active"};
constexpr std::array<Name, 4> kModuleOnly{"station", "coil", "register", "refresh"};
constexpr std::array<Name, 1> kFailsOffName{"fails_off"};
constexpr std::array kContactWhen{When{.key = "refresh", .forbids = kFailsOffName},
                                  When{.key = "line", .needs = kStationOfLine, .forbids = kPinOutput},
                                  When{.key = "board", .needs = kPinName, .forbids = kModuleOnly}};

}  // namespace

constinit const Section kLine{.name = "line",
                              .doc = "A serial line or a gateway on the network, and what it carries.",
                              .keys = kLineKeys,
                              .one_of = kLineOneOf,
                              .when = kLineWhen};
constinit const Section kSwitch{.name = "switch",
                                .doc = "An on/off input of a Modbus module, or a pin of the computer itself.",
                                .keys = kSwitchKeys,
                                .one_of = kSwitchOneOf,
                                .when = kSwitchWhen};
constinit const Section kContact{.name = "contact",
                                 .doc = "A relay of a Modbus module, or one on a pin of the computer itself.",
                                 .keys = kContactKeys,
                                 .one_of = kContactOneOf,
                                 .when = kContactWhen};

}  // namespace stillwell::config
