#include "stillwell/report/figures.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr double kFinest = 0.01;
constexpr std::array<Duration, 6> kSteps{10s, 1min, 10min, 1h, 6h, 24h};

template <class PerSecond>
std::optional<double> shown(const std::optional<Rate<PerSecond>>& rate, double units_a_minute) {
  if (!rate) return {};
  if (!rate->is_meaningful()) return 0.0;
  const double scale = 60.0 * units_a_minute;
  const double error = std::max(rate->slope - rate->low, rate->high - rate->slope).value();
  const double value = rounded_to(rate->slope.value() * scale, error * scale);
  if (!std::isfinite(value)) return {};
  return value;
}

}  // namespace

double rounded_to(double value, double error) {
  double step = error > kFinest ? std::pow(10.0, std::ceil(std::log10(error))) : kFinest;
  while (step > kFinest && std::abs(value) < step / 2.0)
    step /= 10.0;
  return std::round(value / step) * step;
}

std::string plain(double value) {
  std::string text = fixed(value, 2);
  while (text.ends_with('0'))
    text.pop_back();
  if (text.ends_with('.')) text.pop_back();
  return text;
}

std::optional<double> rate_mm_min(const TankFigures& figures) {
  return shown(figures.rate, 1000.0);
}

std::optional<double> flow_l_min(const TankFigures& figures) {
  return shown(figures.flow, 1.0);
}

std::optional<Duration> time_left(const std::optional<TimeTo>& to) {
  if (!to) return {};
  const Duration spread = (to->latest - to->soonest) / 2;
  const auto* const wide_enough =
      std::find_if(kSteps.begin(), kSteps.end(), [spread](Duration step) { return step >= spread; });
  const Duration step = wide_enough == kSteps.end() ? kSteps.back() : *wide_enough;
  return std::max((to->expected + step / 2) / step, Duration::rep{1}) * step;
}

}  // namespace stillwell::report
