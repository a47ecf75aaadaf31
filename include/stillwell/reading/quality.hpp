#pragma once
// How far a value can be trusted, and the one reason why it cannot. The words are the ones users see.

#include <cstdint>
#include <string_view>

namespace stillwell {

enum class Quality : std::uint8_t { good, uncertain, bad };

enum class Reason : std::uint8_t {
  none,
  stale,         ///< nothing accepted for longer than stale_after
  no_answer,     ///< the station did not reply, or replied with an exception
  bad_frame,     ///< bytes came, but no valid frame
  blanking,      ///< nearer than the sensor can see
  beyond_reach,  ///< farther than the sensor can see
  outside_span,  ///< a level the tank cannot have
  jump,          ///< faster than the water can move
  frozen,        ///< still while something must move it
  noisy,         ///< spread too wide to be a surface
  disagree,      ///< the tank's gauges contradict each other
  uncorrected,   ///< the temperature that a correction needs is not known: the level is in doubt
  out_of_service,
  starting,  ///< not enough readings since the start or since a fault
};

std::string_view to_word(Quality quality);
std::string_view to_word(Reason reason);  ///< "none" for Reason::none

}  // namespace stillwell
