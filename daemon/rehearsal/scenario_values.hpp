#pragma once
// The values of a scenario file: quantities that make sense in one. Private to this room.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/quantity/units.hpp"

#include <cstdint>
#include <string>
#include <string_view>

namespace stillwell::rehearsal {

Result<Metres> some_length(std::string_view text);         ///< not negative
Result<LitresPerSecond> some_flow(std::string_view text);  ///< likewise
Result<Duration> some_time(std::string_view text);         ///< likewise
Result<Load> some_load(std::string_view text);             ///< likewise
Result<Duration> some_cycle(std::string_view text);        ///< at least 1 s
Result<std::string> any_text(std::string_view text);
Result<std::uint64_t> whole_number(std::string_view text);  ///< from 0 up

}  // namespace stillwell::rehearsal
