#include "stillwell/report/hub_birth.hpp"

#include "support/catch.hpp"

using namespace stillwell::report;
using namespace std::chrono_literals;

namespace {

constexpr HubBirth::Time kStart{1h};

}  // namespace

TEST_CASE("hub: one that has come is told after a while that differs from gateway to gateway",
          "[report][discovery]") {
  for (const std::uint64_t own : {0ULL, 1234ULL, 4000ULL, 4001ULL, 0xFFFF'FFFF'FFFF'FFFFULL}) {
    HubBirth hub{own};
    CHECK_FALSE(hub.take_due(kStart + 1h));  // nobody came
    hub.online(kStart);
    const auto wait = 1s + std::chrono::milliseconds{own % 4001};
    CHECK_FALSE(hub.take_due(kStart + wait - 1ms));
    CHECK(hub.take_due(kStart + wait));
    CHECK_FALSE(hub.take_due(kStart + wait + 1h));
  }
}

TEST_CASE("hub: one that comes and goes is told once in ten seconds", "[report][discovery]") {
  HubBirth hub{0};
  int told = 0;
  for (auto now = kStart; now < kStart + 60s; now += 100ms) {
    hub.online(now);
    if (hub.take_due(now)) ++told;
  }
  CHECK(told == 6);  // after 1 s, 11 s, … 51 s
}

TEST_CASE("hub: an announcement just before counts, so that it is not told twice at once",
          "[report][discovery]") {
  HubBirth hub{0};
  hub.online(kStart);
  hub.told(kStart + 500ms);
  CHECK_FALSE(hub.take_due(kStart + 10s));
  CHECK(hub.take_due(kStart + 10500ms));
}
