#pragma once
// Water in one tank, to the drop: whatever comes or goes is booked, so that the balance can be checked.

#include "stillwell/quantity/quantity.hpp"
#include "stillwell/tank/shape.hpp"

namespace stillwell::plant {

/// Where the water came from and went to since the beginning.
struct Ledger {
  Litres entered{0.0};  ///< rain, seepage, recharge
  Litres pumped_in{0.0};
  Litres pumped_out{0.0};
  Litres drawn{0.0};
  Litres spilled{0.0};   ///< over the brim
  Litres vanished{0.0};  ///< a source that ran dry by order
  Litres placed{0.0};    ///< set by hand; negative when taken away

  [[nodiscard]] Litres balance() const {
    return entered + pumped_in + placed - pumped_out - drawn - spilled - vanished;
  }
};

class Basin {
 public:
  Basin(ShapePtr shape, Metres start, Metres brim);

  [[nodiscard]] Metres level() const { return shape_->depth(volume_); }
  [[nodiscard]] Litres volume() const { return volume_; }
  [[nodiscard]] const Ledger& ledger() const { return ledger_; }

  void enter(Litres amount) { add(amount, ledger_.entered); }
  void pump_in(Litres amount) { add(amount, ledger_.pumped_in); }
  /// As much of `wanted` as stands above `down_to`; says how much that was.
  Litres pump_out(Litres wanted, Metres down_to) { return take(wanted, down_to, ledger_.pumped_out); }
  Litres draw(Litres wanted, Metres down_to) { return take(wanted, down_to, ledger_.drawn); }
  void vanish(Litres wanted) { take(wanted, Metres{0.0}, ledger_.vanished); }
  void place(Metres level);
  /// What stands above the brim runs over it.
  void spill();

 private:
  void add(Litres amount, Litres& booked);
  Litres take(Litres wanted, Metres down_to, Litres& booked);

  ShapePtr shape_;
  Litres most_{};
  Litres volume_{};
  Ledger ledger_;
};

}  // namespace stillwell::plant
