// Figures as they are told: no digit that is noise.

#include "stillwell/report/figures.hpp"

#include <chrono>

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;

TEST_CASE("figures: a number keeps the digits that its error leaves standing", "[report][figures]") {
  CHECK(rounded_to(3.37, 0.2) == Approx(3.0));
  CHECK(rounded_to(3.37, 0.1) == Approx(3.4));
  CHECK(rounded_to(347.0, 12.0) == Approx(300.0));
  CHECK(rounded_to(347.0, 9.0) == Approx(350.0));
  CHECK(rounded_to(-0.034, 0.012) == Approx(-0.03).margin(1e-9));
  CHECK(rounded_to(0.4, 0.3) == Approx(0.4));  // it is not nothing, so it does not become nothing
  CHECK(rounded_to(1.23456, 0.0) == Approx(1.23));
}

TEST_CASE("figures: numbers are written without decimals that say nothing", "[report][figures]") {
  CHECK(plain(3.0) == "3");
  CHECK(plain(3.4) == "3.4");
  CHECK(plain(100000.0) == "100000");
  CHECK(plain(-0.05) == "-0.05");
  CHECK(plain(0.0) == "0");
}

TEST_CASE("figures: a time is told to the step that its spread allows", "[report][figures]") {
  const auto told = [](Duration expected, Duration spread) {
    return time_left(TimeTo{expected, expected - spread, expected + spread});
  };
  CHECK(told(4h + 11min + 12s, 3s) == 4h + 11min + 10s);
  CHECK(told(4h + 11min + 12s, 30s) == 4h + 11min);
  CHECK(told(4h + 11min + 12s, 5min) == 4h + 10min);
  CHECK(told(4h + 11min + 12s, 40min) == 4h);
  CHECK(told(50h, 10h) == 48h);
  CHECK(told(20s, 15s) == 1min);  // never nothing while it is not there
  CHECK_FALSE(time_left({}));
}
