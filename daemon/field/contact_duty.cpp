#include "stillwell/field/contact_duty.hpp"

#include <algorithm>
#include <chrono>

namespace stillwell::field {
namespace {

using namespace std::chrono_literals;

constexpr int kYoungScans = 2;    // rule 13: a hung scan lets the relay drop
constexpr int kExpiryScans = 5;   // and an order nobody renews is not kept for longer than this
constexpr Duration kExpiry = 5s;  // (or this, where scans are shorter)

}  // namespace

void ContactDuty::order(Order order, Instant solved) {
  ordered_ = order;
  solved_ = solved;
  if (order == Order::off) on_seen_ = dropped_ = false;
}

void ContactDuty::insist(Instant now) {
  begin(wanted(now), now);
}

void ContactDuty::begin(Order target, Instant now) {
  target_ = target;
  if (target == Order::off) on_seen_ = false;  // also one that lapsed: it is written again for ever
  phase_ = Phase::write;
  due_ = now;
  tried_ = false;
  retry_.reset();
}

Instant ContactDuty::expires() const {
  return solved_ + std::max(kExpiry, timing_.scan * kExpiryScans);
}

Order ContactDuty::wanted(Instant now) const {
  if (!off_proved_ || dropped_ || now >= expires()) return Order::off;
  return ordered_;
}

bool ContactDuty::is_young(Instant now) const {
  return now - solved_ <= timing_.scan * kYoungScans;
}

bool ContactDuty::needs_refresh(Instant now) const {
  const bool closing_or_closed = target_ == Order::on && phase_ != Phase::verify;
  return timing_.refresh_every && closing_or_closed && now >= refresh_due_;
}

ContactDuty::Step ContactDuty::step(Instant now) {
  if (const Order order = wanted(now); order != target_) begin(order, now);
  const bool old_on = target_ == Order::on && !is_young(now);
  if (needs_refresh(now) && !old_on) return Step::refresh;
  if (now < due_) return Step::none;
  if (phase_ != Phase::write) return Step::verify;
  return old_on ? Step::none : Step::write;
}

bool ContactDuty::is_urgent() const {
  return target_ == Order::off && phase_ == Phase::write && !tried_;
}

Instant ContactDuty::wake(Instant now) const {
  Instant soonest = due_;
  if (target_ == Order::on) {
    // Past these the contact waits for a new order, and the next thing to happen by itself is the expiry.
    const bool stuck = !is_young(now) && phase_ == Phase::write;
    soonest = stuck ? expires() : std::min(soonest, expires());
    if (timing_.refresh_every && is_young(now)) soonest = std::min(soonest, refresh_due_);
  }
  return soonest;
}

void ContactDuty::wrote(bool arrived, Instant now) {
  tried_ = true;
  phase_ = arrived ? Phase::verify : Phase::write;
  due_ = arrived ? now : now + retry_.next();
}

void ContactDuty::verified(std::optional<bool> on, Instant now) {
  if (on == (target_ == Order::on)) {
    if (target_ == Order::off) off_proved_ = true;
    if (target_ == Order::on) on_seen_ = timing_.drives_motor;
    phase_ = Phase::rest;
    due_ = now + timing_.every;
    retry_.reset();
    return;
  }
  if (on_seen_) {
    dropped_ = on == false;
    return look_again(now);
  }
  // Out of rest, the first correction is due at once.
  due_ = phase_ == Phase::rest ? now : now + retry_.next();
  phase_ = Phase::write;
}

void ContactDuty::refreshed(bool arrived, Instant now) {
  if (arrived) {
    refresh_due_ = now + *timing_.refresh_every;
    return;
  }
  // Without its timer wound up the relay would drop out again at once: the write waits as well.
  refresh_due_ = now + std::min(retry_.next(), *timing_.refresh_every);
  if (phase_ == Phase::write) due_ = refresh_due_;
}

void ContactDuty::lost(Instant now) {
  begin(wanted(now), now);
  if (on_seen_ && target_ == Order::on) look_again(now);
  refresh_due_ = {};
}

/// It was on, and nobody knows what it is: it may have dropped out, so it is read and not written.
void ContactDuty::look_again(Instant now) {
  due_ = phase_ == Phase::rest ? now : now + retry_.next();
  phase_ = Phase::verify;
}

}  // namespace stillwell::field
