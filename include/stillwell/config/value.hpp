#pragma once
// One scalar of the file, from its text to a typed value.

#include "stillwell/config/document.hpp"
#include "stillwell/config/host_port.hpp"
#include "stillwell/config/kinds.hpp"
#include "stillwell/config/serial_speed.hpp"
#include "stillwell/config/wiring.hpp"
#include "stillwell/pump/pump.hpp"
#include "stillwell/quantity/units.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

namespace stillwell::config {

/// Text kinds (text, id, paths, url, words, references) are strings, except a host with its port; counts are
/// what one of them is worth. A load is watts or amperes, as it was written.
using Value = std::variant<std::string, std::int64_t, double, bool, Metres, Litres, Duration, LitresPerSecond,
                           MetresPerSecond, Celsius, Degrees, Percent, Pascals, Watts, Amperes, PerHour,
                           SetPoint, SerialSpeed, HostPort, DayWindow>;

/// A value of this key from its text: the kind, the words and the limits are checked; references are not
/// resolved.
Result<Value> parse_value(const Key& key, std::string_view text);

/// The same from a node of the file: also that it is a scalar, in quotes or not as its kind asks.
Result<Value> read_value(const Key& key, const Item& item);

}  // namespace stillwell::config
