// Every unit a person may write, with and without a space, and everything that must be refused. The list of
// units is the configuration grammar's.

#include "stillwell/quantity/units.hpp"

#include <chrono>
#include <functional>
#include <string>
#include <vector>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

/// The parsers behind one face: the number in the type's own unit, or the reason why not.
using Parser = std::function<Result<double>(std::string_view)>;

template <class Q>
Parser plain(Result<Q> (*parse)(std::string_view)) {
  return [parse](std::string_view text) -> Result<double> {
    const auto parsed = parse(text);
    if (!parsed) return Failure{parsed.error()};
    return parsed->value();
  };
}

Result<double> duration_in_seconds(std::string_view text) {
  const auto parsed = parse_duration(text);
  if (!parsed) return Failure{parsed.error()};
  return seconds_of(*parsed);
}

struct Kind {
  std::string name;
  Parser parse;
  std::vector<std::pair<std::string, double>> units;  ///< the unit, and what one of it is worth
  std::string foreign;                                ///< a unit of another kind
};

const std::vector<Kind> kKinds{
    {"length", plain(parse_length), {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}}, "L"},
    {"volume", plain(parse_volume), {{"L", 1.0}, {"m3", 1000.0}}, "m"},
    {"duration", duration_in_seconds, {{"ms", 1e-3}, {"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}}, "m"},
    {"temperature", plain(parse_temperature), {{"degC", 1.0}}, "K"},
    {"percent", plain(parse_percent), {{"%", 1.0}}, "m"},
    {"level rate", plain(parse_level_rate), {{"mm/min", 0.001 / 60}}, "mm"},
    {"flow", plain(parse_flow), {{"L/min", 1.0 / 60}, {"L/h", 1.0 / 3600}, {"m3/h", 1000.0 / 3600}}, "L"},
    {"angle", plain(parse_angle), {{"deg", 1.0}}, "rad"},
    {"power", plain(parse_power), {{"W", 1.0}, {"kW", 1000.0}}, "A"},
    {"pressure", plain(parse_pressure), {{"kPa", 1000.0}, {"mbar", 100.0}}, "m"},
    {"rate", plain(parse_per_hour), {{"/h", 1.0}}, "h"},
};

}  // namespace

TEST_CASE("units: every unit is read with and without a space before it", "[quantity][table]") {
  const std::vector<std::pair<std::string, double>> numbers{
      {"2.5", 2.5}, {"-3", -3.0}, {"0", 0.0}, {"1e2", 100.0}};
  for (const Kind& kind : kKinds) {
    for (const auto& [unit, worth] : kind.units) {
      for (const auto& [number, value] : numbers) {
        for (const auto* space : {"", " "}) {
          std::string text = number;
          text.append(space).append(unit);
          INFO(kind.name << ": '" << text << "'");
          const auto parsed = kind.parse(text);
          REQUIRE(parsed.ok());
          CHECK(*parsed == Approx(value * worth).epsilon(1e-15));
        }
      }
    }
  }
}

TEST_CASE("units: what is not a finite number and one known unit is refused", "[quantity][table]") {
  // Around a unit that would do; and whole texts.
  const std::vector<std::pair<std::string, std::string>> around{
      {"", ""},  // a bare unit
      {"nan ", ""},
      {"inf ", ""},  //
      {"-inf", ""},
      {"1e400 ", ""},  // past a double
      {"1e-400 ", ""},
      {"2.4 ", " x"},  //
      {"2.4 ", " "},
      {"2.4 ", "x"},  //
      {"2.4  ", ""},
      {"2.4\t", ""},  // two spaces, a tab
      {" 2.4 ", ""},
      {"1,5 ", ""},  // a decimal comma
      {"1.2.3 ", ""},
      {"0x10 ", ""},  //
      {"--1 ", ""},
      {"one ", ""},  //
      {std::string("2.4 ") + '\0', ""},
  };
  for (const Kind& kind : kKinds) {
    std::vector<std::string> wrong{"", " ", "2.4", "2.4 ", "2.4 furlong", "2.4 " + kind.foreign};
    for (const auto& [before, after] : around)
      wrong.push_back(std::string{before}.append(kind.units.back().first).append(after));
    for (const std::string& text : wrong) {
      INFO(kind.name << ": '" << text << "'");
      const auto parsed = kind.parse(text);
      REQUIRE_FALSE(parsed.ok());
      CHECK_FALSE(parsed.error().empty());
    }
  }
}

TEST_CASE("units: letter case is part of a unit", "[quantity][table]") {
  CHECK_FALSE(parse_length("2 M").ok());
  CHECK_FALSE(parse_length("2 MM").ok());
  CHECK_FALSE(parse_volume("2 l").ok());
  CHECK_FALSE(parse_duration("2 S").ok());
  CHECK_FALSE(parse_power("2 w").ok());
}

TEST_CASE("units: a refusal names the units that would do", "[quantity][errors]") {
  for (const Kind& kind : kKinds) {
    for (const std::string text : {"2.4", "2.4 furlong", "nonsense"}) {
      const auto parsed = kind.parse(text);
      REQUIRE_FALSE(parsed.ok());
      for (const auto& [unit, worth] : kind.units) {
        INFO(kind.name << " says: " << parsed.error());
        CHECK(parsed.error().find(unit) != std::string::npos);
      }
    }
  }
}

TEST_CASE("units: a number that its unit makes too large is refused, not infinite", "[quantity][edges]") {
  CHECK_FALSE(parse_volume("1e308 m3").ok());
  CHECK_FALSE(parse_set_point("1e308 m3").ok());
  CHECK_FALSE(parse_duration("1e300 d").ok());
  CHECK_FALSE(parse_duration("-1e300 d").ok());
  CHECK_FALSE(parse_duration("4000 d").ok());
  CHECK(parse_duration("3650 d").ok());
}

TEST_CASE("units: durations are whole nanoseconds", "[quantity][table]") {
  CHECK(*parse_duration("250 ms") == 250ms);
  CHECK(*parse_duration("0.1 s") == 100ms);
  CHECK(*parse_duration("1.5 min") == 90s);
  CHECK(*parse_duration("2 h") == 2h);
  CHECK(*parse_duration("1 d") == 24h);
}

TEST_CASE("units: a set point is a share, a level or a contents", "[quantity][table]") {
  CHECK(std::get<Percent>(*parse_set_point("45 %")) == Percent{45});
  CHECK(std::get<Metres>(*parse_set_point("25cm")) == Metres{0.25});
  CHECK(std::get<Litres>(*parse_set_point("5000 L")) == Litres{5000});
  CHECK(std::get<Litres>(*parse_set_point("5 m3")) == Litres{5000});
  for (const std::string text : {"", "45", "45 W", "nan %", "1,5 m", "45 % x"}) {
    INFO("'" << text << "'");
    CHECK_FALSE(parse_set_point(text).ok());
  }
}

TEST_CASE("units: a load is a power or a current, as it is written", "[quantity][table]") {
  CHECK(std::get<Watts>(*parse_load("350 W")) == Watts{350});
  CHECK(std::get<Watts>(*parse_load("1.1kW")) == Watts{1100});
  CHECK(std::get<Amperes>(*parse_load("1.8 A")) == Amperes{1.8});
  CHECK(std::get<Amperes>(*parse_load("450 mA")) == Amperes{0.45});
  for (const std::string text : {"", "350", "350 V", "nan W", "1,8 A", "350 W x", "1 w"}) {
    INFO("'" << text << "'");
    CHECK_FALSE(parse_load(text).ok());
  }
  CHECK(parse_load("350 V").error().find("W, kW, A, mA") != std::string::npos);
}

TEST_CASE("units: a bare number stands alone", "[quantity][table]") {
  CHECK(*parse_number("-0.25") == -0.25);
  CHECK(*parse_number("1e-7") == 1e-7);
  for (const std::string text : {"", " 1", "1 ", "1x", "nan", "inf", "1e400", "1,5", "0x10", "+1"}) {
    INFO("'" << text << "'");
    CHECK_FALSE(parse_number(text).ok());
  }
}
