#include "stillwell/reading/correction.hpp"

#include "stillwell/reading/sound.hpp"
#include "stillwell/reading/water.hpp"

namespace stillwell {
namespace {

template <class Value>
void take(Companions::Last<Value>& last, const std::optional<Value>& value, Instant at) {
  if (value) last = {value, at};
}

std::optional<Celsius> within(const std::optional<Celsius>& value, const TemperatureRange& range) {
  return value && *value >= range.lowest && *value <= range.highest ? value : std::nullopt;
}

template <class Value>
std::optional<Value> fresh(const Companions::Last<Value>& last, Instant now) {
  return now - last.at <= kCompanionHolds ? last.value : std::nullopt;
}

}  // namespace

void remember(Companions& memory, const GaugeSample& sample, const Correction& correction) {
  take(memory.air, within(sample.air, correction.air), sample.at);
  take(memory.humidity, sample.humidity, sample.at);
  if (correction.water) take(memory.water, within(sample.water, *correction.water), sample.at);
}

Corrected corrected_distance(Metres reported, const Correction& correction, const Companions& companions,
                             Instant now) {
  if (!correction.assumes) return {reported, Metres{0.0}, true};
  Corrected corrected{reported, Metres{0.0}, false};
  if (companions.air.value) {
    const Air air{.temperature = *companions.air.value, .humidity = fresh(companions.humidity, now)};
    if (const auto known = correct(reported, *correction.assumes, air)) {
      corrected = {known->distance, known->uncertainty, fresh(companions.air, now).has_value()};
    }
  }
  if (corrected.is_known) return corrected;
  // A range that is none has been refused by the configuration; the whole distance is doubt enough.
  corrected.uncertainty =
      doubt_without_air(reported, corrected.value, *correction.assumes, correction.air).value_or(reported);
  return corrected;
}

Corrected corrected_depth(Metres reported, const Correction& correction, const Companions& companions,
                          Instant now) {
  if (!correction.water) return {reported, Metres{0.0}, true};
  if (const auto temperature = fresh(companions.water, now)) {
    if (const auto known = correct_depth(reported, *temperature)) return {*known, Metres{0.0}, true};
  }
  return {reported, doubt_without_temperature(reported, *correction.water).value_or(reported), false};
}

}  // namespace stillwell
