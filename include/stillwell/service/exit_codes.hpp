#pragma once
// What every command of stillwell ends with.

namespace stillwell::service {

inline constexpr int kDone = 0;
inline constexpr int kAttention = 1;    ///< done, and something needs attention
inline constexpr int kUsage = 2;        ///< usage or configuration error
inline constexpr int kUnreachable = 3;  ///< the field or the daemon could not be reached
inline constexpr int kRefused = 4;

}  // namespace stillwell::service
