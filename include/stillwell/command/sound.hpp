#pragma once
// `stillwell sound`: takes soundings of gauges now and says what they are worth, for whoever mounts one.

#include "stillwell/command/progress.hpp"
#include "stillwell/command/status.hpp"

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

namespace stillwell::command {

struct SoundRequest {
  std::filesystem::path configuration;
  std::filesystem::path socket;
  std::vector<std::string> gauges;
  std::string lasts = "30 s";
  bool empty = false;  ///< the tank is empty: propose to_floor
  bool full = false;   ///< it is full: propose to_full
  bool json = false;
};

/// Exit code: 0 all is well; 1 soundings were missed, a surface is not steady or a proposal was not made;
/// 2 usage; 3 nothing was heard of any gauge; 4 the line is held and cannot be read through a daemon.
int sound(const SoundRequest& request, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
