#pragma once
// Keys that several sections of the grammar share.

#include "stillwell/config/grammar.hpp"

#include <array>

namespace stillwell::config {

// What hangs on a line.
inline constexpr Key kOnLine{.name = "line",
                             .kind = Kind::reference,
                             .required = true,
                             .refers = "lines",
                             .doc = "the line it hangs on"};
inline constexpr Key kStation{.name = "station",
                              .kind = Kind::integer,
                              .required = true,
                              .least = "1",
                              .most = "247",
                              .doc = "address of the Modbus server"};
inline constexpr Key kAddress{.name = "address",
                              .kind = Kind::integer,
                              .required = true,
                              .least = "0",
                              .most = "65535",
                              .doc = "counted from 0, as it stands in the request"};
inline constexpr Key kEvery{.name = "every",
                            .kind = Kind::duration,
                            .fallback = "1 s",
                            .least = "100 ms",
                            .most = "30 s",
                            .doc = "how often it is read"};
inline constexpr Key kStaleAfter{.name = "stale_after",
                                 .kind = Kind::duration,
                                 .otherwise = "3 × every, at most 60 s",
                                 .least = "200 ms",
                                 .most = "60 s",
                                 .doc = "a reading older than this counts for nothing"};

inline constexpr std::array<std::string_view, 3> kPriorities{"low", "medium", "high"};

}  // namespace stillwell::config
