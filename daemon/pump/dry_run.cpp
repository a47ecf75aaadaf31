#include "stillwell/pump/dry_run.hpp"

#include <algorithm>

namespace stillwell {
namespace {

constexpr Duration kLongestRest = std::chrono::hours{24};

}  // namespace

Duration rest_after(const Retry& retry, int failures) {
  Duration rest = std::min(retry.after, kLongestRest);
  for (int time = 1; time < failures && rest < kLongestRest; ++time)
    rest = std::min(rest * 2, kLongestRest);
  return rest;
}

void count_failure(DryRunMemory& memory, const Retry& retry, Cause cause, Instant now) {
  ++memory.failures;
  memory.cause = cause;
  memory.rests_until = now + rest_after(retry, memory.failures);
}

bool is_last_try(const DryRunMemory& memory, const Retry& retry) {
  return memory.failures >= retry.times;
}

}  // namespace stillwell
