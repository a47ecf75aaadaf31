// What is printed reads back: exactly in the shortest form, to the last printed digit in the fixed one, and
// with a dot whatever the process's locale says.

#include "stillwell/quantity/energy.hpp"
#include "stillwell/quantity/units.hpp"

#include <array>
#include <bit>
#include <chrono>
#include <clocale>
#include <cmath>
#include <limits>
#include <locale>
#include <string>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

class CommaPoint : public std::numpunct<char> {
 protected:
  [[nodiscard]] char do_decimal_point() const override { return ','; }
  [[nodiscard]] char do_thousands_sep() const override { return '.'; }
  [[nodiscard]] std::string do_grouping() const override { return "\3"; }
};

/// Streams write commas while this lives, and C's functions too where such a locale is installed.
class CommaLocale {
 public:
  CommaLocale() : streams_{std::locale::global(std::locale{std::locale::classic(), new CommaPoint})} {
    for (const char* name : {"pt_PT.UTF-8", "de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "fr_FR"})
      if (std::setlocale(LC_NUMERIC, name) != nullptr) return;
  }
  ~CommaLocale() {
    std::setlocale(LC_NUMERIC, "C");
    std::locale::global(streams_);
  }
  CommaLocale(const CommaLocale&) = delete;
  CommaLocale& operator=(const CommaLocale&) = delete;

 private:
  std::locale streams_;
};

/// Any finite double: every pattern of bits is as likely as another.
double any_finite(support::Dice& dice) {
  for (;;) {
    const auto value = std::bit_cast<double>(dice.bits());
    if (std::isfinite(value)) return value;
  }
}

}  // namespace

TEST_CASE("numbers: the shortest form reads back as the same number", "[quantity][property]") {
  const auto seed = support::seed_or(20260301);
  INFO("seed " << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 20'000; ++round) {
    const double value = any_finite(dice);
    const std::string text = shortest(value);
    const auto back = parse_number(text);
    REQUIRE(back.ok());
    REQUIRE(std::bit_cast<std::uint64_t>(*back) == std::bit_cast<std::uint64_t>(value));
  }
}

TEST_CASE("numbers: the fixed form reads back within half its last digit", "[quantity][property]") {
  const auto seed = support::seed_or(20260302);
  INFO("seed " << seed);
  support::Dice dice{seed};
  for (int round = 0; round < 20'000; ++round) {
    const double value = dice.between(-1e6, 1e6) * (dice.one_in(2) ? 1e-5 : 1.0);
    const int decimals = dice.roll(7);
    const std::string text = fixed(value, decimals);
    const auto back = parse_number(text);
    INFO(value << " with " << decimals << " decimals: " << text);
    REQUIRE(back.ok());
    REQUIRE(std::abs(*back - value) <= 0.5 * std::pow(10.0, -decimals) + 1e-9);
    const auto point = text.find('.');
    REQUIRE((point == std::string::npos ? 0 : static_cast<int>(text.size() - point) - 1) == decimals);
    REQUIRE_FALSE((*back == 0.0 && text.front() == '-'));
  }
}

TEST_CASE("numbers: the forms at their edges", "[quantity][table]") {
  CHECK(shortest(0.1) == "0.1");
  CHECK(shortest(1e-7) == "1e-07");
  CHECK(fixed(1.742, 3) == "1.742");
  CHECK(fixed(-0.0, 1) == "0.0");
  CHECK(fixed(-0.04, 1) == "0.0");
  CHECK(fixed(-0.06, 1) == "-0.1");
  CHECK(fixed(2.0, 0) == "2");
  CHECK(parse_number(fixed(std::numeric_limits<double>::max(), 2)).ok());
}

TEST_CASE("numbers: a comma locale changes neither reading nor printing", "[quantity][locale]") {
  const CommaLocale comma;
  CHECK(parse_length("1.5 m")->value() == 1.5);
  CHECK_FALSE(parse_length("1,5 m").ok());
  CHECK(shortest(1234.5) == "1234.5");
  CHECK(fixed(1234.5, 2) == "1234.50");
  CHECK(to_text(Metres{1.742}) == "1.742 m");
  CHECK(to_text(Litres{12345}) == "12345 L");
  CHECK(to_text(Stamp{std::chrono::sys_days{std::chrono::year{2026} / 3 / 1}}) == "2026-03-01T00:00:00.000Z");
}

TEST_CASE("quantities: each prints with its unit", "[quantity][table]") {
  CHECK(to_text(Metres{1.742}) == "1.742 m");
  CHECK(to_text(Litres{3480.4}) == "3480 L");
  CHECK(to_text(Percent{58.1}) == "58.1 %");
  CHECK(to_text(Celsius{15}) == "15.0 degC");
  CHECK(to_text(LitresPerSecond{1}) == "60.0 L/min");
}

TEST_CASE("durations: each prints in the unit a person would use", "[quantity][table]") {
  CHECK(to_text(Duration{250ms}) == "250 ms");
  CHECK(to_text(Duration{90s}) == "90 s");
  CHECK(to_text(Duration{3min}) == "3 min");
  CHECK(to_text(Duration{2h + 5min}) == "2 h 5 min");
  CHECK(to_text(Duration{0s}) == "0 ms");
  CHECK(to_text(Duration{2h}).find("2 h") != std::string::npos);
}

TEST_CASE("durations: one of a single whole unit reads back as itself", "[quantity][property]") {
  for (const Duration whole : {Duration{1ms}, Duration{999ms}, Duration{1s}, Duration{59s}, Duration{119s},
                               Duration{2min}, Duration{30min}, Duration{3h}, Duration{24h}}) {
    INFO(to_text(whole));
    REQUIRE(parse_duration(to_text(whole)).ok());
    CHECK(*parse_duration(to_text(whole)) == whole);
  }
}

TEST_CASE("durations: no printed form says less than the time has seconds", "[quantity][edges]") {
  CHECK(to_text(Duration{150s}) != to_text(Duration{120s}));
  CHECK(to_text(Duration{3min + 59s}) != to_text(Duration{3min}));
}

TEST_CASE("energy: watts for a time are joules, told in kilowatt-hours", "[quantity][table]") {
  CHECK((Watts{1000.0} * Duration{1h}).value() == 3.6e6);
  CHECK((Watts{250.0} * Duration{400ms}).value() == Approx(100.0));
  CHECK(to_text(kKilowattHour) == "1.00 kWh");
  CHECK(to_text(Watts{900.0} * Duration{36s}) == "0.01 kWh");
}

TEST_CASE("stamps: RFC 3339 in UTC with milliseconds", "[quantity][table]") {
  using namespace std::chrono;
  const auto at = [](int y, unsigned m, unsigned d) { return sys_days{year{y} / month{m} / day{d}}; };
  CHECK(to_text(Stamp{at(2026, 3, 1) + 4h + 12min + 7s + 250ms}) == "2026-03-01T04:12:07.250Z");
  CHECK(to_text(Stamp{at(1970, 1, 1)}) == "1970-01-01T00:00:00.000Z");
  CHECK(to_text(Stamp{at(1970, 1, 1) - 1ms}) == "1969-12-31T23:59:59.999Z");
  CHECK(to_text(Stamp{at(2024, 2, 29) + 23h + 59min + 59s + 999ms}) == "2024-02-29T23:59:59.999Z");
  CHECK(to_text(Stamp{at(2100, 3, 1)}) == "2100-03-01T00:00:00.000Z");  // 2100 is no leap year
}
