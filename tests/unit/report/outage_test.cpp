#include "stillwell/report/outage.hpp"

#include "support/catch.hpp"

using namespace stillwell::report;
using namespace std::chrono_literals;

TEST_CASE("outage: each cause is told once, and the end once", "[report][mqtt]") {
  Outage outage;
  Outage::Time now{};
  CHECK(outage.trouble("broker-away", now).journal);
  CHECK_FALSE(outage.trouble("broker-away", now + 1s).log);
  CHECK(outage.trouble("broker-refused", now + 2s).journal);
  CHECK_FALSE(outage.trouble("broker-away", now + 3s).log);
  CHECK(outage.well(now + 4s).journal);
}

TEST_CASE("outage: a first connection is told", "[report][mqtt]") {
  Outage outage;
  CHECK(outage.well(Outage::Time{}).journal);
}

TEST_CASE("outage: a connection that flaps goes to the log and not to the journal", "[report][mqtt]") {
  Outage outage;
  Outage::Time now{};
  outage.well(now);
  for (int flap = 0; flap < 10; ++flap) {
    now += 5s;
    const auto lost = outage.trouble("broker-away", now);
    CHECK(lost.log);
    CHECK_FALSE(lost.journal);
    CHECK_FALSE(outage.well(now += 1s).journal);
  }
  CHECK(outage.trouble("broker-away", now + 60s).journal);
  CHECK(outage.well(now + 61s).journal);
}

TEST_CASE("outage: one that begins like a flap and lasts is told after all, once", "[report][mqtt]") {
  Outage outage;
  const Outage::Time now{};
  outage.well(now);
  CHECK_FALSE(outage.trouble("broker-away", now + 5s).journal);
  CHECK_FALSE(outage.is_overdue(now + 64s));
  CHECK(outage.is_overdue(now + 65s));
  CHECK_FALSE(outage.is_overdue(now + 200s));
  CHECK(outage.well(now + 300s).journal);
  CHECK_FALSE(outage.is_overdue(now + 400s));
}
