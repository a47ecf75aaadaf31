#include "stillwell/plant/water.hpp"

#include <algorithm>

namespace stillwell::plant {

Basin::Basin(ShapePtr shape, Metres start, Metres brim)
    : shape_{std::move(shape)}, most_{shape_->volume(brim)}, volume_{shape_->volume(start)} {}

void Basin::add(Litres amount, Litres& booked) {
  volume_ += amount;
  booked += amount;
}

Litres Basin::take(Litres wanted, Metres down_to, Litres& booked) {
  const Litres there = std::max(volume_ - shape_->volume(down_to), Litres{0.0});
  const Litres taken = std::min(wanted, there);
  volume_ -= taken;
  booked += taken;
  return taken;
}

void Basin::place(Metres level) {
  const Litres wanted = shape_->volume(level);
  add(wanted - volume_, ledger_.placed);
}

void Basin::spill() {
  if (volume_ <= most_) return;
  ledger_.spilled += volume_ - most_;
  volume_ = most_;
}

}  // namespace stillwell::plant
