#pragma once
// `stillwell rehearse`: the rules over a recording or a simulated plant, faster than real time.

#include <filesystem>
#include <iosfwd>
#include <string>

namespace stillwell::command {

struct RehearseRequest {
  std::filesystem::path configuration;
  std::filesystem::path scenario;  ///< a recording when it ends in .csv, else a scenario of the plant
  std::string lasts;               ///< a duration; empty: a day, or all of the recording
  std::string begins =
      "2026-01-01T00:00:00.000Z";  ///< what the wall clock shows, where the recording does not say it
  std::string every = "60 s";      ///< between the rows of the file of values
  std::string csv;                 ///< files to write, or "-" for out
  std::string svg;
  std::string against;  ///< the JSON of an earlier rehearsal
  bool json = false;
};

/// Exit code: 0 done, 1 it differs from the earlier one, 2 something given is wrong or cannot be read or
/// written.
int rehearse(const RehearseRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
