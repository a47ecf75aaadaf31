#pragma once
// Which rows of the cause table can ever speak of a pump, and what they do to it in the mode in which it
// stands. What the interlock asks, it asks in pump/evidence.hpp; here is the same said of a pump that nobody
// scans, for people who want to know beforehand.

#include "stillwell/pump/pump.hpp"

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

namespace stillwell {

/// Whether a cause can come up for a pump of this configuration: without feedback there is no no-feedback.
/// Whether other pumps are there at all, which peer-dry and stagger need, only the site knows.
bool concerns(Cause cause, const Pump& pump);
/// All of them, in the order of the table.
std::vector<Cause> causes_of(const Pump& pump);

/// How a pump stands when a cause comes up. Off and out of service it is ordered off, and whoever is at it
/// trusts that it stays so.
enum class Standing : std::uint8_t { automatic, in_hand, off, out_of_service };
inline constexpr std::array kEveryStanding{Standing::automatic, Standing::in_hand, Standing::off,
                                           Standing::out_of_service};
std::string_view to_word(Standing standing);

/// What a cause does to a pump that stands so; permit: nothing, it is not asked or cannot come up.
Verdict verdict_in(Standing standing, Cause cause);

}  // namespace stillwell
