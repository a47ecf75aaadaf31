#pragma once
// What a state is, in a form in which two states that behave alike from now on are the same. Times are ages,
// and those beyond the longest timer are all alike.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/delay.hpp"

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

namespace support {

class Digest {
 public:
  /// `horizon`: longer than every timer, and shorter than the hour in which starts are counted.
  Digest(stillwell::Instant now, stillwell::Duration horizon) : now_{now}, horizon_{horizon} {}

  template <class Small>
  requires(std::is_enum_v<Small> || std::is_integral_v<Small>) void add(Small value) {
    put(static_cast<std::int64_t>(value));
  }
  template <class Small>
  requires(std::is_enum_v<Small>) void add(const std::optional<Small>& value) {
    put(value ? static_cast<std::int64_t>(*value) : kNone);
  }
  void add(stillwell::Duration time) { put(time.count()); }
  void add_age(const std::optional<stillwell::Instant>& since) {
    put(since ? std::min(now_ - *since, horizon_).count() : kNone);
  }
  /// A time that is still to come; once it is past it does not matter when it was.
  void add_ahead(stillwell::Instant until) {
    put(std::clamp(until - now_, stillwell::Duration{0}, horizon_).count());
  }
  /// An age that after its first time matters only by its place in the period.
  void add_periodic(const std::optional<stillwell::Instant>& since, stillwell::Duration first,
                    stillwell::Duration period) {
    if (!since) return put(kNone);
    const stillwell::Duration age = now_ - *since;
    put((age < first ? age : first + (age - first) % period).count());
  }
  /// Those of the last hour.
  void add_starts(const std::vector<stillwell::Instant>& starts) {
    for (const stillwell::Instant start : starts)
      if (now_ - start < std::chrono::hours{1}) add_age(start);
    put(kNone);
  }
  void add(const stillwell::Delay& delay) {
    const auto shown = delay.show();
    put(shown.spent.count());
    add(shown.drains);
    add_age(shown.last);
  }

  [[nodiscard]] const std::string& bytes() const { return bytes_; }

 private:
  static constexpr std::int64_t kNone = -1;

  void put(std::int64_t value) { bytes_.append(reinterpret_cast<const char*>(&value), sizeof value); }

  stillwell::Instant now_;
  stillwell::Duration horizon_;
  std::string bytes_;
};

}  // namespace support
