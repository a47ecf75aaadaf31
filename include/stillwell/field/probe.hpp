#pragma once
// A question that finds out whether a station is there, and what came back, told apart. Pure: bytes in, bytes
// out. Only functions 3 and 4 are used, for one register each: they read and change nothing (Modbus
// Application Protocol V1.1b3, 6.3 and 6.4).

#include "stillwell/config/wiring.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace stillwell::field {

inline constexpr std::size_t kProbeBytes = 8;
inline constexpr std::size_t kProbeReplyBytes = 7;
inline constexpr int kFirstStation = 1;
inline constexpr int kLastStation = 247;  ///< Modbus over Serial Line V1.02, 2.2

using Probe = std::array<std::uint8_t, kProbeBytes>;

/// A read of one register of the input or holding table.
Probe probe_of(int station, config::Table table, int address);

enum class ProbeOutcome : std::uint8_t {
  silence,
  value,
  exception,
  noise,  ///< bytes, and no reply among them
};

struct ProbeAnswer {
  ProbeOutcome kind = ProbeOutcome::silence;
  bool is_echoed = false;  ///< the question itself came back: the adapter hears what it says
  int station = 0;         ///< whose reply it is; a late one may be that of a station asked before
  int exception = 0;
  std::uint16_t word = 0;
};

/// A reply is one whatever station it bears, as long as function, size and check sum are right, and also
/// behind bytes that are none.
ProbeAnswer look_at(const Probe& asked, std::span<const std::uint8_t> bytes);

/// "illegal data address"; "unknown" for a code that the specification does not have (V1.1b3, 7).
std::string_view exception_word(int code);

/// A gateway answered for a station that it does not reach: nobody is there.
bool is_from_gateway(int exception);

}  // namespace stillwell::field
