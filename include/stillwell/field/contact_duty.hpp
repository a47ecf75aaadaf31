#pragma once
// What must be done next for one contact so that it is, and is known to be, as ordered: write, read back,
// refresh, wait. Pure: time is an argument, results are told.

#include "stillwell/field/backoff.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"

#include <cstdint>
#include <optional>

namespace stillwell::field {

struct ContactTiming {
  Duration every{};                       ///< between read-backs while nothing changes
  std::optional<Duration> refresh_every;  ///< for a relay that drops out by itself
  Duration scan{};                        ///< orders age in scans
  bool drives_motor = false;  ///< once it was on and is off it stays so until it is ordered on anew
};

class ContactDuty {
 public:
  enum class Step : std::uint8_t {
    none,
    write,    ///< target() to the contact
    verify,   ///< read it back twice
    refresh,  ///< its drop-out timer
  };

  ContactDuty(const ContactTiming& timing, Instant start) : timing_{timing}, due_{start} {}

  /// The newest order and the instant for which it was solved.
  void order(Order order, Instant solved);
  /// Write and confirm again although nothing changed.
  void insist(Instant now);

  /// What to do now. An on that is too old counts as off: the scan that gave it may have died.
  Step step(Instant now);
  /// Step::write of an off that has not been tried yet: it overtakes everything else on the line.
  [[nodiscard]] bool is_urgent() const;
  /// Step::verify as a matter of routine, with no write behind it.
  [[nodiscard]] bool is_routine() const { return phase_ == Phase::rest; }
  [[nodiscard]] Order target() const { return target_; }
  /// When step() may change from none, unless an order comes.
  [[nodiscard]] Instant wake(Instant now) const;

  void wrote(bool arrived, Instant now);
  void verified(std::optional<bool> on, Instant now);
  void refreshed(bool arrived, Instant now);
  /// The line is gone: whatever was known about the contact is worth nothing.
  void lost(Instant now);

 private:
  enum class Phase : std::uint8_t { write, verify, rest };

  [[nodiscard]] Order wanted(Instant now) const;
  [[nodiscard]] bool is_young(Instant now) const;
  [[nodiscard]] bool needs_refresh(Instant now) const;
  [[nodiscard]] Instant expires() const;
  void begin(Order target, Instant now);
  void look_again(Instant now);

  ContactTiming timing_;
  Order ordered_ = Order::off;
  Instant solved_{};
  Order target_ = Order::off;
  Phase phase_ = Phase::write;
  Instant due_;
  bool tried_ = false;       ///< the target was written at least once
  bool on_seen_ = false;     ///< confirmed on since it was ordered so
  bool dropped_ = false;     ///< and then seen off: to close it again would be a start that nobody counts
  bool off_proved_ = false;  ///< nothing is switched on before it was once confirmed off
  Instant refresh_due_{};
  Backoff retry_{std::chrono::milliseconds{100}, std::chrono::seconds{5}};
};

}  // namespace stillwell::field
