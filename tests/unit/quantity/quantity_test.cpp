// The types themselves: what may be added, and that a number that is none loses every comparison.

#include "stillwell/quantity/quantity.hpp"

#include "stillwell/quantity/index.hpp"

#include <cmath>
#include <type_traits>

#include "support/catch.hpp"

using namespace stillwell;

namespace {
template <class A, class B>
concept Adds = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Compares = requires(A a, B b) {
  a < b;
};
}  // namespace

TEST_CASE("quantities: only like adds to like", "[quantity][types]") {
  STATIC_REQUIRE(Adds<Metres, Metres>);
  STATIC_REQUIRE_FALSE(Adds<Metres, Litres>);
  STATIC_REQUIRE_FALSE(Adds<Celsius, Celsius>);
  STATIC_REQUIRE_FALSE(Compares<Metres, Litres>);
  STATIC_REQUIRE_FALSE(Compares<TankIndex, PumpIndex>);
  STATIC_REQUIRE_FALSE(std::is_convertible_v<double, Metres>);
  STATIC_REQUIRE(std::is_same_v<decltype(Metres{} / Metres{}), double>);
}

TEST_CASE("quantities: a surface and a depth make a volume and back", "[quantity][arithmetic]") {
  CHECK((SquareMetres{2.0} * Metres{1.5}).value() == 3000.0);
  CHECK((Litres{3000.0} / SquareMetres{2.0}).value() == 1.5);
  CHECK((Metres{2.0} * Metres{3.0}).value() == 6.0);
}

TEST_CASE("quantities: a number that is none loses every comparison", "[quantity][edges]") {
  const Metres none{std::nan("")};
  CHECK_FALSE(none < Metres{1});
  CHECK_FALSE(none >= Metres{1});
  CHECK_FALSE(Metres{1} < none);
  CHECK_FALSE(none == none);
}
