#pragma once
// The grammar of the configuration file as one table. The loader, the JSON Schema and the reference in
// config/README.md all read it, so they cannot disagree.

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace stillwell::config {

using Words = std::span<const std::string_view>;

enum class Kind : std::uint8_t {
  text,
  id,
  path,           ///< taken as it is written
  expanded_path,  ///< ${NAME} in it is replaced from the environment
  file,           ///< the same, but may be relative to the folder of the configuration
  url,            ///< mqtt:// or mqtts://
  topic,          ///< of MQTT: levels by "/", no wildcards
  host_port,      ///< "192.0.2.7:502"
  timezone,       ///< a name of the IANA database
  serial,         ///< "9600 8N1"
  length,
  volume,
  duration,
  flow,
  level_rate,
  temperature,
  angle,
  percent,
  pressure,
  power,
  load,               ///< what a motor takes: a power or a current
  per_hour,           ///< "10/h"
  set_point,          ///< a share, a level or a contents
  length_count,       ///< what one count is worth: "mm" or "0.1 mm"
  temperature_count,  ///< "degC" or "0.1 degC"
  percent_count,      ///< "%" or "0.1 %"
  pressure_count,     ///< "kPa" or "0.1 mbar"
  load_count,         ///< "W" or "0.01 A"
  integer,
  number,  ///< 0.06
  byte,    ///< 85 or 0x55
  bits,    ///< of a register or two: 65535 or 0xFFFF
  flag,
  word,       ///< one of Key::words
  reference,  ///< an id of the section Key::refers, or one of Key::words
  window,     ///< "22:00-06:00"
  section,    ///< a map with the keys of Key::section, or as its form allows
  named,      ///< a map of ids, each to a map with the keys of Key::section
};

struct Section;

struct Key {
  std::string_view name{};
  Kind kind = Kind::text;
  bool required = false;
  bool list = false;             ///< of one or more of the kind
  bool bare = false;             ///< one alone may stand without the list's brackets
  std::size_t items = 0;         ///< how many the list has; 0: any number
  std::size_t fewest = 1;        ///< of any number
  std::string_view fallback{};   ///< the default, as it would be written; "{}" for a section of defaults
  std::string_view otherwise{};  ///< the default in words, where other keys decide it
  Words words{};                 ///< kind word, or what a reference may be besides an id
  std::string_view refers{};     ///< kind reference: the section that defines the id
  std::string_view least{};      ///< inclusive limits, as they would be written
  std::string_view most{};
  const Section* section = nullptr;
  std::string_view doc{};
};

/// Exactly one of these keys.
struct OneOf {
  Words keys{};
};

/// When a key is present (with that word, if one is given), others must be there too, some have no meaning,
/// and all of another section stand beside it.
struct When {
  std::string_view key{};
  std::string_view word{};  ///< empty: whatever the value
  Words needs{};
  Words forbids{};
  const Section* adds = nullptr;
  // Not where this key has this word.
  std::string_view unless{};
  std::string_view unless_word{};
};

/// How a section is written.
enum class Form : std::uint8_t {
  map,
  map_or_word,  ///< a word alone is the value of the first key
  row,          ///< a list of the values of all keys, in their order
};

struct Section {
  std::string_view name{};  ///< "gauge"
  std::string_view doc{};
  std::span<const Key> keys{};
  std::span<const OneOf> one_of{};
  std::span<const When> when{};
  Form form = Form::map;
};

/// The whole file.
const Section& grammar();

const Key* find(const Section& section, std::string_view name);

/// Whether another section may stand beside this one's keys.
bool grows(const Section& section);

// The parts, so that the tables can stand in several files.
extern const Section kSite;
extern const Section kBroker;
extern const Section kNotify;
extern const Section kLogLevels;
extern const Section kLine;
extern const Section kGauge;
extern const Section kLengthRegister;
extern const Section kPressureRegister;
extern const Section kTemperatureRegister;
extern const Section kHumidityRegister;
extern const Section kStatusRegister;
extern const Section kFrame;
extern const Section kSwitch;
extern const Section kMeter;
extern const Section kContact;
extern const Section kTank;
extern const Section kContents;
extern const Section kPump;
extern const Section kPumpSet;
extern const Section kDryRun;
extern const Section kUnasked;
extern const Section kAnnunciator;
extern const Section kTankAlarms;
extern const Section kPumpAlarms;
extern const Section kContactAlarms;
extern const Section kLineAlarms;
extern const Section kSiteAlarms;

}  // namespace stillwell::config
