#pragma once
// Where the scan leaves what the contacts shall be, for the line threads to fetch. Nobody here waits for a
// wire.

#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"

#include <condition_variable>
#include <cstdint>
#include <mutex>
#include <vector>

namespace stillwell::field {

struct StandingOrders {
  std::vector<Order> contacts;   ///< in the order of the configuration's list; a missing one is off
  Instant solved{};              ///< for which they were solved
  std::uint64_t insistence = 0;  ///< grows when all shall be written and confirmed anew

  [[nodiscard]] Order of(ContactIndex contact) const {
    return contact.at < contacts.size() ? contacts[contact.at] : Order::off;
  }
};

class Orders {
 public:
  /// Wakes the lines only when an order changed. Ignored while the contacts are being released.
  void drive(const std::vector<Order>& contacts, Instant solved);
  /// All off, to be written and confirmed anew; and nothing else is accepted until end_release().
  void begin_release(Instant now);
  void end_release();
  void stop();

  [[nodiscard]] StandingOrders newest() const;
  [[nodiscard]] bool stopped() const;

  /// Sleeps until `limit`, or until something changed since `seen` (updated).
  void wait(std::uint64_t& seen, Instant limit);

 private:
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  StandingOrders standing_;
  std::uint64_t changes_ = 0;
  bool releasing_ = false;
  bool stopped_ = false;
};

}  // namespace stillwell::field
