#include "stillwell/field/search_plan.hpp"

#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::field;
using namespace std::chrono_literals;

TEST_CASE("search: the most common speed is tried first, and each once", "[field][search]") {
  const auto speeds = usual_speeds();
  CHECK(speed_text(speeds.front()) == "9600 8N1");
  for (std::size_t one = 0; one < speeds.size(); ++one)
    for (std::size_t other = 0; other < one; ++other)
      CHECK_FALSE(is_same_speed(speeds[one], speeds[other]));
  for (const auto& speed : speeds) {
    const auto read = parse_speeds(speed_text(speed));
    REQUIRE(read);
    CHECK(is_same_speed(read->front(), speed));
  }
}

TEST_CASE("search: speeds are read as they stand in a configuration", "[field][search]") {
  const auto speeds = parse_speeds("9600 8N1, 19200 8E2,300 7O1");
  REQUIRE(speeds);
  REQUIRE(speeds->size() == 3);
  CHECK(speed_text((*speeds)[1]) == "19200 8E2");
  CHECK_FALSE(carries_modbus((*speeds)[2]));
  for (const char* wrong : {"", "9600", "9600 8N1,", "9600 9N1", "9600 8X1", "9600 8N3", "9601 8N1",
                            "9600  8N1", "9600 8N1 19200 8N1"}) {
    INFO(wrong);
    CHECK_FALSE(parse_speeds(wrong));
  }
}

TEST_CASE("search: stations are a part of 1 to 247", "[field][search]") {
  CHECK(parse_stations("1-247")->count() == 247);
  CHECK(parse_stations("7")->first == 7);
  CHECK(parse_stations("7")->last == 7);
  for (const char* wrong : {"", "0", "0-3", "1-248", "9-3", "-3", "3-", "a", "1-2-3"}) {
    INFO(wrong);
    CHECK_FALSE(parse_stations(wrong));
  }
}

TEST_CASE("search: the time left falls to nothing, step by step", "[field][search]") {
  SearchPlan plan;
  plan.speeds = {{9600, 8, config::Parity::none, 1},
                 {19200, 7, config::Parity::even, 1},
                 {19200, 8, config::Parity::even, 1}};
  plan.stations = {1, 3};
  plan.listen = 1s;
  plan.reply_within = 100ms;
  Duration before = time_left(plan, {});
  // Three times a second, and two speeds of three stations: 15 characters and 3.5 between them, at 11 bits.
  CHECK(seconds_of(before) == Approx(3.0 + 6 * 0.1 + 3 * 18.5 * 11 / 9600.0 + 3 * 18.5 * 11 / 19200.0));
  const auto falls_to = [&](const SearchPlace& place) {
    const Duration left = time_left(plan, place);
    CHECK(left < before);
    before = left;
  };
  falls_to({.speed = 1});
  falls_to({.speed = 2});
  falls_to({.speed = 0, .asking = true});
  falls_to({.speed = 0, .asking = true, .stations_done = 2});
  falls_to({.speed = 2, .asking = true});
  falls_to({.speed = 2, .asking = true, .stations_done = 3});
  CHECK(before == Duration{0});
}
