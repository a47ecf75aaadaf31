#pragma once
// What a search makes of what it found: the entries of a configuration to try. Pure. A guess by plausible
// numbers, to be checked by soundings.

#include "stillwell/field/searcher.hpp"

#include <optional>
#include <string>

namespace stillwell::field {

/// How far apart the readings of a register lie.
int spread_of(const RegisterSeen& seen);

/// What could be a distance or a depth in a station's registers.
struct LikelyNumber {
  config::Table table = config::Table::input;
  int address = 0;
  config::Encoding as = config::Encoding::u16;  ///< in millimetres; or f32be, f32le: in metres
};

/// One register between 20 mm and 12 m, or two that are a floating-point number of as many metres; rather one
/// that moves a little than one that stands, and rather two registers than one by chance. Empty when none is.
std::optional<LikelyNumber> likeliest_number(const std::vector<RegisterSeen>& registers);

/// The line that a proposal is for.
struct ProposedLine {
  std::string id;
  std::string port;
  config::SerialSpeed speed;
  bool is_new = true;  ///< the configuration does not have it, or has it otherwise
};

/// YAML with its line ends: the line when it is new, and the gauge.
std::string proposal_for(const ProposedLine& line, const FrameFormat& format);
/// Empty when no register could be a distance.
std::string proposal_for(const ProposedLine& line, const StationSeen& station);

/// The whole of a search: the frames that were recognized, or else the first station with a distance. Empty
/// when there is nothing to propose.
std::string proposal_of(const SearchResult& result, ProposedLine line);

}  // namespace stillwell::field
