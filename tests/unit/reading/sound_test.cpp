// Speed of sound against the published and computed rows of 06 (Cramer 1993, IEC 61094-2, ISO 9613-1; the
// source of each row is in the file), and what it does to a distance.

#include "stillwell/reading/sound.hpp"

#include <cmath>
#include <string>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/moist_air.hpp"

using namespace stillwell;

namespace {

const support::Csv& table() {
  static const support::Csv csv{"06_speed_of_sound.csv"};
  return csv;
}

double number(std::size_t row, const std::string& column) {
  return std::stod(table().at(row, column));
}

bool is(std::size_t row, const std::string& column, const std::string& part) {
  return table().at(row, column).find(part) != std::string::npos;
}

Air air_of(std::size_t row) {
  return {.temperature = Celsius{number(row, "temperature_degC")},
          .humidity = Percent{number(row, "relative_humidity_percent")},
          .pressure = Pascals{number(row, "pressure_Pa")},
          .carbon_dioxide = number(row, "co2_ppm") * 1e-6};
}

double coefficient(const std::string& item, const std::string& unit) {
  for (std::size_t row = 0; row < table().size(); ++row)
    if (is(row, "item", item) && table().at(row, "unit") == unit) return number(row, "value");
  throw std::runtime_error("no row for " + item + " " + unit);
}

/// Vapour by the saturation pressure of Cramer's own appendix, its coefficients read from the file: the
/// program uses the newer CIPM one.
double appendix_vapour(const Air& air) {
  const std::string item = "Cramer saturation pressure";
  const double kelvin = air.temperature.value() + 273.15;
  const double saturation =
      std::exp(coefficient(item, "T^2") * kelvin * kelvin + coefficient(item, "T") * kelvin +
               coefficient(item, "constant") + coefficient(item, "1/T") / kelvin);
  const std::string factor = "enhancement factor";
  const double enhancement = coefficient(factor, "constant") +
                             coefficient(factor, "p") * air.pressure.value() +
                             coefficient(factor, "t^2") * std::pow(air.temperature.value(), 2);
  return air.humidity->value() / 100.0 * enhancement * saturation / air.pressure.value();
}

}  // namespace

TEST_CASE("sound: eq. 15 gives every computed row inside its range to their digits", "[reading][reference]") {
  int checked = 0;
  for (std::size_t row = 0; row < table().size(); ++row) {
    if (!is(row, "item", "Cramer grid") || !is(row, "note", "inside stated validity")) continue;
    const Air air = air_of(row);
    const bool cipm = is(row, "note", "CIPM");
    const double vapour =
        cipm ? vapour_fraction(air.temperature, *air.humidity, air.pressure) : appendix_vapour(air);
    const auto speed = cramer_speed(air.temperature, vapour, air.pressure, air.carbon_dioxide);
    INFO(table().at(row, "temperature_degC") << " degC, " << table().at(row, "note"));
    REQUIRE(speed);
    CHECK(std::abs(speed->value() - number(row, "value")) < 1e-12 * number(row, "value"));
    ++checked;
  }
  CHECK(checked == 24);
}

TEST_CASE("sound: eq. 15 is refused outside its range, and the simple form says how far it may be wrong",
          "[reading][reference]") {
  int checked = 0;
  for (std::size_t row = 0; row < table().size(); ++row) {
    if (!is(row, "item", "Cramer grid") || !is(row, "note", "OUTSIDE")) continue;
    const Air air = air_of(row);
    INFO(table().at(row, "temperature_degC") << " degC, " << table().at(row, "note"));
    CHECK_FALSE(cramer_speed(air.temperature, appendix_vapour(air), air.pressure, air.carbon_dioxide));
    const auto speed = speed_of_sound(air);
    REQUIRE(speed);
    CHECK(speed->formula == SoundFormula::temperature_only);
    CHECK(std::abs(speed->speed.value() - number(row, "value")) <= speed->uncertainty * speed->speed.value());
    ++checked;
  }
  CHECK(checked == 18);
}

TEST_CASE("sound: the simple form covers Cramer at every humidity", "[reading][reference]") {
  for (std::size_t row = 0; row < table().size(); ++row) {
    if (!is(row, "item", "Cramer grid")) continue;
    Air air = air_of(row);
    air.humidity.reset();
    const auto speed = speed_of_sound(air);
    REQUIRE(speed);
    CHECK(speed->formula == SoundFormula::temperature_only);
    CHECK(std::abs(speed->speed.value() - number(row, "value")) <= speed->uncertainty * speed->speed.value());
  }
}

TEST_CASE("sound: the published speeds of IEC 61094-2 and of Cramer's figure are met",
          "[reading][reference]") {
  int checked = 0;
  for (std::size_t row = 0; row < table().size(); ++row) {
    const bool iec = is(row, "item", "IEC 61094-2 check");
    if (!iec && !is(row, "item", "read-off")) continue;
    const auto speed = speed_of_sound(air_of(row));
    INFO(table().at(row, "item") << " at " << table().at(row, "temperature_degC"));
    REQUIRE(speed);
    CHECK(speed->formula == SoundFormula::cramer);
    // IEC prints five decimals. A figure is read off to 0.15 m/s (the test that carries the rows allows it).
    CHECK(std::abs(speed->speed.value() - number(row, "value")) <= (iec ? 5e-6 : 0.15));
    ++checked;
  }
  CHECK(checked == 30);
}

TEST_CASE("sound: ISO 9613-1 to its digits, textbook dry air within what was recalled",
          "[reading][reference]") {
  int checked = 0;
  for (std::size_t row = 0; row < table().size(); ++row) {
    const bool iso = is(row, "item", "ISO 9613-1");
    if (!iso && !is(row, "item", "textbook")) continue;
    const auto speed = simple_speed(Celsius{number(row, "temperature_degC")});
    REQUIRE(speed);
    CHECK(std::abs(speed->value() - number(row, "value")) <= (iso ? 1e-12 * number(row, "value") : 0.2));
    ++checked;
  }
  CHECK(checked == 19);
}

TEST_CASE("sound: the range of eq. 15 is kept on both sides of every limit", "[reading][edges]") {
  const auto at = [](double t, double w, double p, double c) {
    return cramer_speed(Celsius{t}, w, Pascals{p}, c).has_value();
  };
  CHECK(at(0.0, 0.0, 75e3, 0.0));
  CHECK(at(30.0, 0.06, 102e3, 0.01));
  const double more = 1.0 + 1e-12;
  CHECK_FALSE(at(-1e-12, 0.01, 1e5, 4e-4));
  CHECK_FALSE(at(30.0 * more, 0.01, 1e5, 4e-4));
  CHECK_FALSE(at(15.0, -1e-12, 1e5, 4e-4));
  CHECK_FALSE(at(15.0, 0.06 * more, 1e5, 4e-4));
  CHECK_FALSE(at(15.0, 0.01, 75e3 / more, 4e-4));
  CHECK_FALSE(at(15.0, 0.01, 102e3 * more, 4e-4));
  CHECK_FALSE(at(15.0, 0.01, 1e5, -1e-12));
  CHECK_FALSE(at(15.0, 0.01, 1e5, 0.01 * more));
  const double none = std::nan("");
  CHECK_FALSE(at(none, 0.01, 1e5, 4e-4));
  CHECK_FALSE(at(15.0, none, 1e5, 4e-4));
  CHECK_FALSE(at(15.0, 0.01, none, 4e-4));
  CHECK_FALSE(at(15.0, 0.01, 1e5, none));
}

TEST_CASE("sound: the simple form covers a perfect-gas mixture from -40 to 60 degC", "[reading][property]") {
  const std::uint64_t seed = support::seed_or(20260301);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 2000; ++round) {
    const double celsius = dice.between(-40.0, 60.0);
    const double humidity = dice.between(0.0, 1.0);
    const auto speed = speed_of_sound({.temperature = Celsius{celsius}});
    REQUIRE(speed);
    INFO(celsius << " degC, humidity " << humidity);
    CHECK(std::abs(speed->speed.value() - support::perfect_gas_speed(celsius, humidity)) <=
          speed->uncertainty * speed->speed.value());
  }
}

TEST_CASE("sound: a temperature that is none or no weather gives no speed", "[reading][edges]") {
  CHECK(simple_speed(Celsius{-40.0}));
  CHECK_FALSE(simple_speed(Celsius{-40.001}));
  CHECK(simple_speed(Celsius{60.0}));
  CHECK_FALSE(simple_speed(Celsius{60.001}));
  CHECK_FALSE(simple_speed(Celsius{std::nan("")}));
  CHECK_FALSE(speed_of_sound({.temperature = Celsius{20.0}, .pressure = Pascals{std::nan("")}}));
  CHECK_FALSE(speed_of_sound({.temperature = Celsius{20.0}, .pressure = Pascals{0.0}}));
}

TEST_CASE("sound: an impossible humidity is as good as none", "[reading][edges]") {
  for (const double humidity : {-1.0, 101.0, std::nan("")}) {
    const auto speed = speed_of_sound({.temperature = Celsius{20.0}, .humidity = Percent{humidity}});
    REQUIRE(speed);
    CHECK(speed->formula == SoundFormula::temperature_only);
  }
}

TEST_CASE("distance: a hot roof tank reads 5 % short until it is corrected", "[reading][distance]") {
  // c grows by half of the relative rise in absolute temperature: √(318.15 / 288.15) = 1.0508 from 15 to 45.
  const auto corrected = correct(Metres{2.4}, Celsius{15.0}, {.temperature = Celsius{45.0}});
  REQUIRE(corrected);
  CHECK(corrected->distance.value() == Approx(2.4 * std::sqrt(318.15 / 288.15)).epsilon(1e-12));
  CHECK(corrected->uncertainty > Metres{0.0});
  const auto same = correct(Metres{2.4}, Celsius{15.0}, {.temperature = Celsius{15.0}});
  REQUIRE(same);
  CHECK(same->distance.value() == Approx(2.4).epsilon(1e-15));
}

TEST_CASE("distance: knowing the humidity narrows the doubt", "[reading][distance]") {
  const Air dry_bulb{.temperature = Celsius{25.0}};
  Air known = dry_bulb;
  known.humidity = Percent{80.0};
  const auto without = correct(Metres{2.0}, Celsius{20.0}, dry_bulb);
  const auto with = correct(Metres{2.0}, Celsius{20.0}, known);
  REQUIRE(without);
  REQUIRE(with);
  CHECK(with->formula == SoundFormula::cramer);
  CHECK(with->uncertainty * 5.0 < without->uncertainty);
  CHECK(std::abs((with->distance - without->distance).value()) <= without->uncertainty.value());
}

TEST_CASE("distance: without air temperature the doubt covers every temperature of the range",
          "[reading][property]") {
  const std::uint64_t seed = support::seed_or(4711);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 2000; ++round) {
    const double low = dice.between(-40.0, 60.0);
    const double high = dice.between(low, 60.0);
    const Celsius assumed{dice.between(-10.0, 30.0)};
    const Metres distance{dice.between(0.0, 5.0)};
    const auto doubt = doubt_without_air(distance, distance, assumed, {Celsius{low}, Celsius{high}});
    REQUIRE(doubt);
    const double celsius = dice.between(low, high);
    const double truth = distance.value() * support::perfect_gas_speed(celsius, dice.between(0.0, 1.0)) /
                         simple_speed(assumed)->value();
    INFO(low << ".." << high << " degC, real " << celsius);
    CHECK(std::abs(truth - distance.value()) <= doubt->value() + 1e-12);
  }
}

TEST_CASE("distance: what is none corrects nothing and doubts nothing", "[reading][edges]") {
  const Metres none{std::nan("")};
  const Celsius no_air{std::nan("")};
  CHECK_FALSE(correct(none, Celsius{15.0}, {.temperature = Celsius{20.0}}));
  CHECK_FALSE(correct(Metres{-0.1}, Celsius{15.0}, {.temperature = Celsius{20.0}}));
  CHECK_FALSE(correct(Metres{1.0}, no_air, {.temperature = Celsius{20.0}}));
  CHECK_FALSE(correct(Metres{1.0}, Celsius{15.0}, {.temperature = no_air}));
  CHECK_FALSE(doubt_without_air(Metres{1.0}, Metres{1.0}, Celsius{15.0}, {Celsius{20.0}, Celsius{10.0}}));
  CHECK_FALSE(doubt_without_air(Metres{1.0}, Metres{1.0}, Celsius{15.0}, {no_air, Celsius{10.0}}));
  CHECK_FALSE(doubt_without_air(none, none, Celsius{15.0}, {Celsius{0.0}, Celsius{10.0}}));
}
