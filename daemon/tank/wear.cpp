#include "stillwell/tank/wear.hpp"

#include "stillwell/reading/least_squares.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell {
namespace {

constexpr std::size_t kFewestStretches = 5;

double ratio_of(const PumpWear::Stretch& stretch, LitresPerSecond nameplate) {
  return stretch.moved.value() / seconds_of(stretch.ran) / nameplate.value();
}

void join_neighbours(PumpWear& wear) {
  for (std::size_t pair = 0; pair < kWearStretches / 2; ++pair) {
    const auto& first = wear.stretches[2 * pair];
    const auto& second = wear.stretches[2 * pair + 1];
    wear.stretches[pair] = {first.moved + second.moved, first.ran + second.ran};
  }
  for (std::size_t place = kWearStretches / 2; place < kWearStretches; ++place)
    wear.stretches[place] = {};
  wear.complete = kWearStretches / 2;
  wear.length *= 2;
}

}  // namespace

bool WearTrend::is_meaningful() const {
  return std::abs(per_1000_hours) > 2.0 * standard_error;
}

void add_run(PumpWear& wear, Litres moved, Duration ran) {
  if (!std::isfinite(moved.value()) || ran <= Duration{0}) return;
  auto& filling = wear.stretches[wear.complete];
  filling.moved += std::max(moved, Litres{0.0});
  filling.ran += ran;
  if (filling.ran < wear.length) return;
  ++wear.complete;
  if (wear.complete == kWearStretches) join_neighbours(wear);
}

std::optional<double> wear_ratio(const PumpWear& wear, LitresPerSecond nameplate) {
  if (wear.complete == 0 || !(nameplate > LitresPerSecond{0.0})) return {};
  return ratio_of(wear.stretches[wear.complete - 1], nameplate);
}

std::optional<WearTrend> wear_trend(const PumpWear& wear, LitresPerSecond nameplate) {
  const auto ratio = wear_ratio(wear, nameplate);
  if (!ratio || wear.complete < kFewestStretches) return {};
  std::array<Equation<2>, kWearStretches> equations{};
  double hours = 0.0;
  for (std::size_t place = 0; place < wear.complete; ++place) {
    const auto& stretch = wear.stretches[place];
    const double length = seconds_of(stretch.ran) / 3600.0;
    equations[place] = {{1.0, (hours + length / 2.0) / 1000.0}, ratio_of(stretch, nameplate)};
    hours += length;
  }
  const auto fit = least_squares<2>({equations.data(), wear.complete});
  if (!fit) return {};
  return WearTrend{*ratio, fit->value[1], fit->deviation[1]};
}

}  // namespace stillwell
