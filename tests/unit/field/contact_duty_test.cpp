#include "stillwell/field/contact_duty.hpp"

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;
using Step = ContactDuty::Step;

namespace {

constexpr Instant kStart{1000s};
constexpr Duration kScan = 1s;

ContactDuty plain() {
  return {{.every = 1s, .refresh_every = {}, .scan = kScan}, kStart};
}
ContactDuty with_refresh() {
  return {{.every = 1s, .refresh_every = 2s, .scan = kScan}, kStart};
}

/// Written and read back as ordered.
void confirm(ContactDuty& duty, Instant now) {
  REQUIRE(duty.step(now) == Step::write);
  duty.wrote(true, now);
  REQUIRE(duty.step(now) == Step::verify);
  duty.verified(duty.target() == Order::on, now);
}

void confirm_on(ContactDuty& duty, Instant now) {
  confirm(duty, now);  // the off of the start
  duty.order(Order::on, now);
  confirm(duty, now);
}

}  // namespace

TEST_CASE("contact: it is written off and confirmed before anything else", "[field][contact]") {
  ContactDuty duty = plain();
  duty.order(Order::on, kStart);
  CHECK(duty.step(kStart) == Step::write);
  CHECK(duty.target() == Order::off);
  CHECK(duty.is_urgent());
  duty.wrote(true, kStart);
  CHECK(duty.step(kStart) == Step::verify);
  duty.verified(std::nullopt, kStart);  // not confirmed: on is still not for it to write
  CHECK(duty.step(kStart + 100ms) == Step::write);
  CHECK(duty.target() == Order::off);
  duty.wrote(true, kStart + 100ms);
  duty.verified(false, kStart + 100ms);
  CHECK(duty.step(kStart + 100ms) == Step::write);
  CHECK(duty.target() == Order::on);
}

TEST_CASE("contact: an off is urgent until it was tried once, an on never", "[field][contact]") {
  ContactDuty duty = plain();
  confirm_on(duty, kStart);
  CHECK_FALSE(duty.is_urgent());
  duty.order(Order::off, kStart + 1s);
  CHECK(duty.step(kStart + 1s) == Step::write);
  CHECK(duty.is_urgent());
  duty.wrote(false, kStart + 1s);
  CHECK_FALSE(duty.is_urgent());
}

TEST_CASE("contact: an off interrupts the confirmation of an on", "[field][contact]") {
  ContactDuty duty = plain();
  confirm(duty, kStart);
  duty.order(Order::on, kStart);
  REQUIRE(duty.step(kStart) == Step::write);
  duty.wrote(true, kStart);
  duty.order(Order::off, kStart);
  CHECK(duty.step(kStart) == Step::write);
  CHECK(duty.target() == Order::off);
}

TEST_CASE("contact: an off that is not confirmed is written for ever, at falling rate", "[field][contact]") {
  ContactDuty duty = plain();
  Instant now = kStart;
  std::vector<Duration> waits;
  for (int n = 0; n < 12; ++n) {
    REQUIRE(duty.step(now) == Step::write);
    duty.wrote(true, now);
    duty.verified(true, now);  // it says that it is on
    const Instant next = duty.wake(now);
    CHECK(duty.step(next - 1ns) == Step::none);
    waits.push_back(next - now);
    now = next;
  }
  CHECK(waits.front() == 100ms);
  CHECK(waits[1] == 200ms);
  CHECK(waits[5] == 3200ms);
  CHECK(waits.back() == 5s);
}

TEST_CASE("contact: while nothing changes it is read back at its rate", "[field][contact]") {
  ContactDuty duty = plain();
  confirm(duty, kStart);
  CHECK(duty.step(kStart + 1s - 1ns) == Step::none);
  CHECK(duty.wake(kStart) == kStart + 1s);
  CHECK(duty.step(kStart + 1s) == Step::verify);
  CHECK(duty.is_routine());
}

TEST_CASE("contact: one that changed by itself, or cannot be read, is written again at once",
          "[field][contact]") {
  for (const std::optional<bool> seen : {std::optional<bool>{true}, std::optional<bool>{}}) {
    ContactDuty duty = plain();
    confirm(duty, kStart);
    REQUIRE(duty.step(kStart + 1s) == Step::verify);
    duty.verified(seen, kStart + 1s);
    CHECK(duty.step(kStart + 1s) == Step::write);
  }
}

TEST_CASE("contact: one that drives a motor and dropped out stays off until it was ordered off and on again",
          "[field][contact][rule-11]") {
  ContactDuty duty{{.every = 1s, .refresh_every = {}, .scan = kScan, .drives_motor = true}, kStart};
  confirm_on(duty, kStart);
  duty.order(Order::on, kStart + 1s);
  REQUIRE(duty.step(kStart + 1s) == Step::verify);
  duty.verified(false, kStart + 1s);
  CHECK(duty.step(kStart + 1s) == Step::write);
  CHECK(duty.target() == Order::off);
  duty.order(Order::on, kStart + 2s);
  CHECK(duty.step(kStart + 2s) == Step::write);
  CHECK(duty.target() == Order::off);
  duty.order(Order::off, kStart + 3s);
  duty.order(Order::on, kStart + 3s);
  confirm(duty, kStart + 3s);
  CHECK(duty.target() == Order::on);
}

TEST_CASE("contact: one that drives a motor and cannot be read is read again, and not written",
          "[field][contact][rule-11]") {
  ContactDuty duty{{.every = 1s, .refresh_every = {}, .scan = kScan, .drives_motor = true}, kStart};
  confirm_on(duty, kStart);
  duty.order(Order::on, kStart + 1s);
  duty.verified(std::nullopt, kStart + 1s);
  CHECK(duty.step(kStart + 1s + 200ms) == Step::verify);
  duty.lost(kStart + 2s);
  duty.order(Order::on, kStart + 3s);
  CHECK(duty.step(kStart + 3s) == Step::verify);
  duty.verified(true, kStart + 3s);
  CHECK(duty.target() == Order::on);
  CHECK(duty.is_routine());
}

TEST_CASE("contact: an off that nobody ordered is written for ever too, while its motor's contact reads on",
          "[field][contact][rule-11]") {
  ContactDuty duty{{.every = 1s, .refresh_every = {}, .scan = kScan, .drives_motor = true}, kStart};
  confirm_on(duty, kStart);
  Instant now = kStart + 5s;  // the order has lapsed
  for (int time = 0; time < 10; ++time) {
    REQUIRE(duty.step(now) == Step::write);
    CHECK(duty.target() == Order::off);
    duty.wrote(true, now);
    REQUIRE(duty.step(now) == Step::verify);
    duty.verified(true, now);
    now += 6s;
  }
}

TEST_CASE("contact: an order that nobody renews turns into off", "[field][contact]") {
  ContactDuty duty = plain();
  confirm_on(duty, kStart);
  duty.verified(true, kStart + 4s);
  CHECK(duty.step(kStart + 5s - 1ns) != Step::write);
  CHECK(duty.step(kStart + 5s) == Step::write);
  CHECK(duty.target() == Order::off);
  CHECK(duty.is_urgent());
}

TEST_CASE("contact: with slow scans an order lasts five of them", "[field][contact]") {
  ContactDuty duty{{.every = 60s, .refresh_every = {}, .scan = 10s}, kStart};
  confirm_on(duty, kStart);
  CHECK(duty.wake(kStart) == kStart + 50s);
  CHECK(duty.step(kStart + 50s - 1ns) == Step::none);
  CHECK(duty.step(kStart + 50s) == Step::write);
  CHECK(duty.target() == Order::off);
}

TEST_CASE("contact: an on older than two scans closes nothing", "[field][contact]") {
  ContactDuty duty = plain();
  confirm(duty, kStart);
  duty.order(Order::on, kStart);
  CHECK(duty.step(kStart + 2s + 1ns) != Step::write);
  duty.order(Order::on, kStart + 3s);
  CHECK(duty.step(kStart + 3s) == Step::write);
}

TEST_CASE("refresh: the timer is wound up before the contact closes, and again while it is on",
          "[field][contact]") {
  ContactDuty duty = with_refresh();
  confirm(duty, kStart);
  duty.order(Order::on, kStart);
  REQUIRE(duty.step(kStart) == Step::refresh);
  duty.refreshed(true, kStart);
  confirm(duty, kStart);
  CHECK(duty.step(kStart + 500ms) == Step::none);
  duty.order(Order::on, kStart + 2s);
  CHECK(duty.step(kStart + 2s) == Step::refresh);
}

TEST_CASE("refresh: without it the contact is not closed", "[field][contact]") {
  ContactDuty duty = with_refresh();
  confirm(duty, kStart);
  duty.order(Order::on, kStart);
  REQUIRE(duty.step(kStart) == Step::refresh);
  duty.refreshed(false, kStart);
  CHECK(duty.step(kStart) == Step::none);
  CHECK(duty.wake(kStart) == kStart + 100ms);
  CHECK(duty.step(kStart + 100ms) == Step::refresh);
}

TEST_CASE("refresh: a hung scan lets the relay drop out", "[field][contact]") {
  ContactDuty duty = with_refresh();
  confirm(duty, kStart);
  duty.order(Order::on, kStart);
  duty.refreshed(true, kStart);
  confirm(duty, kStart);
  // The scan hangs now. Whatever the contact is asked for from here on, it is never a refresh.
  for (Instant now = kStart + 2s + 1ns; now < kStart + 60s; now += 50ms) {
    const Step step = duty.step(now);
    CHECK(step != Step::refresh);
    if (step == Step::verify) duty.verified(duty.target() == Order::on, now);
    if (step == Step::write) duty.wrote(true, now);
  }
  CHECK(duty.target() == Order::off);
}

TEST_CASE("refresh: an off needs none", "[field][contact]") {
  ContactDuty duty = with_refresh();
  for (Instant now = kStart; now < kStart + 20s; now += 100ms) {
    duty.order(Order::off, now);
    const Step step = duty.step(now);
    CHECK(step != Step::refresh);
    if (step == Step::write) duty.wrote(true, now);
    if (step == Step::verify) duty.verified(false, now);
  }
}

TEST_CASE("contact: when the line was lost its order is written and confirmed anew", "[field][contact]") {
  ContactDuty duty = plain();
  confirm_on(duty, kStart);
  duty.lost(kStart + 1s);
  CHECK(duty.step(kStart + 1s) == Step::write);
  CHECK(duty.target() == Order::on);
  duty.order(Order::off, kStart + 1s);
  CHECK(duty.step(kStart + 1s) == Step::write);
  CHECK(duty.is_urgent());
}

TEST_CASE("contact: a release writes off again although it was off", "[field][contact]") {
  ContactDuty duty = plain();
  confirm(duty, kStart);
  CHECK(duty.step(kStart) == Step::none);
  duty.insist(kStart);
  CHECK(duty.step(kStart) == Step::write);
  CHECK(duty.target() == Order::off);
}
