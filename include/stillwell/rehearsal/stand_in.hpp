#pragma once
// What stands in for the wires while the rules are rehearsed.

#include "stillwell/quantity/time.hpp"
#include "stillwell/reading/contact.hpp"
#include "stillwell/reading/sample.hpp"

#include <vector>

namespace stillwell::rehearsal {

class StandIn {
 public:
  StandIn() = default;
  StandIn(const StandIn&) = delete;
  StandIn& operator=(const StandIn&) = delete;
  virtual ~StandIn() = default;

  /// Brings it to that instant, which never goes back. False: it is at its end and has nothing to show.
  virtual bool advance(Instant now) = 0;
  /// The newest of everything at that instant, in the order of the model's lists.
  [[nodiscard]] virtual const Readings& latest() const = 0;
  /// The contacts follow their orders, as far as they can.
  virtual void drive(const std::vector<Order>& contacts) = 0;
};

}  // namespace stillwell::rehearsal
