#pragma once
// The scan: read the newest image, solve, drive the contacts, hand over to the report. Its thread waits for
// nothing but its own timer and the arrival of a reading.

#include "stillwell/field/field.hpp"
#include "stillwell/report/scan_health.hpp"
#include "stillwell/service/bell.hpp"
#include "stillwell/service/inbox.hpp"
#include "stillwell/site/kept.hpp"

#include <atomic>
#include <functional>
#include <mutex>
#include <thread>

namespace stillwell::service {

class ScanLoop {
 public:
  /// Accounts change with every scan, and cards wear with every write: so often they are kept by themselves.
  static constexpr Duration kAccountsEvery = std::chrono::minutes{5};

  struct Parts {
    const Model& model;
    field::Field& field;
    Inbox& inbox;
    Bell& bell;                                  ///< rung when a reading arrived
    std::function<void(Kept, Instant)> keep;     ///< of the scan at that instant; must not block
    std::function<void(const Outcome&)> tell;    ///< must not block
    std::function<std::optional<Stamp>()> wall;  ///< while it is trusted; must not block
    std::function<bool(Instant)>
        is_kept;                       ///< what was handed to `keep` is on the disk, or soon; must not block
    std::function<Instant()> durable;  ///< the newest scan of which that is true already; must not block
    bool observing = false;            ///< every contact is held off
  };

  ScanLoop(Parts parts, Memory memory);
  ~ScanLoop();
  ScanLoop(const ScanLoop&) = delete;
  ScanLoop& operator=(const ScanLoop&) = delete;

  void start();
  void stop();
  [[nodiscard]] report::ScanHealth health() const;
  /// False once the loop ended by a fault of our own; contacts were ordered off then.
  [[nodiscard]] bool is_well() const { return well_; }

 private:
  void run();
  void scan(Instant now);
  void hand_over(const Outcome& outcome);
  void hand_over_all(Instant now);

  Parts parts_;
  Memory memory_;
  std::optional<Kept> kept_;  ///< as handed over last
  Instant kept_at_{};         ///< when that was
  Instant looked_{};          ///< when it was last compared
  mutable std::mutex mutex_;
  report::ScanHealth health_;
  std::atomic<bool> well_{true};
  std::thread thread_;
};

}  // namespace stillwell::service
