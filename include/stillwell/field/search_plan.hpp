#pragma once
// What a search of a line tries, in which order, and how long that takes. Pure.

#include "stillwell/config/serial_speed.hpp"
#include "stillwell/quantity/result.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace stillwell::field {

struct StationRange {
  int first = 1;
  int last = 247;

  [[nodiscard]] int count() const { return last - first + 1; }
};

/// First it is listened at every speed, for a sensor that sends by itself is found at once; then every
/// station is asked at every speed.
struct SearchPlan {
  std::vector<config::SerialSpeed> speeds;
  StationRange stations;
  bool all = false;                                        ///< goes on when something was recognized
  Duration listen = std::chrono::milliseconds{1500};       ///< a sensor sends once a second, or oftener
  Duration reply_within = std::chrono::milliseconds{150};  ///< common practice, no source
};

/// 9600 8N1 first, then what Modbus prescribes (19200 8E1; Modbus over Serial Line V1.02, 2.5.1 and 3.2),
/// then by how often they are met (common practice, no source).
std::vector<config::SerialSpeed> usual_speeds();

/// "9600 8N1, 19200 8E1". The failure names the part that is none.
Result<std::vector<config::SerialSpeed>> parse_speeds(std::string_view text);
/// "1-247", "7".
Result<StationRange> parse_stations(std::string_view text);

/// As it stands in a configuration: "9600 8N1".
std::string speed_text(const config::SerialSpeed& speed);
bool is_same_speed(const config::SerialSpeed& one, const config::SerialSpeed& other);

/// Whether stations are asked at it: a character of Modbus RTU has 8 data bits.
bool carries_modbus(const config::SerialSpeed& speed);

/// How long a station that says nothing takes.
Duration ask_time(const SearchPlan& plan, const config::SerialSpeed& speed);

/// Where a search is: at the speed with this place in the list, listening or asking; so many stations of it
/// are done.
struct SearchPlace {
  std::size_t speed = 0;
  bool asking = false;
  int stations_done = 0;
};

/// What is left at most, if nobody answers.
Duration time_left(const SearchPlan& plan, const SearchPlace& place);

}  // namespace stillwell::field
