#include "stillwell/orchard/orders.hpp"
#include "stillwell/quantity/units.hpp"

namespace stillwell::orchard {
namespace {

using plant::Plant;

// Ids are a-z, 0-9 and hyphens, numbers are finite: nothing here needs escaping.

std::string in_quotes(std::string_view text) {
  return "\"" + std::string{text} + "\"";
}

std::string field(std::string_view name, double value, int decimals) {
  return in_quotes(name) + ":" + fixed(value, decimals);
}

std::string field(std::string_view name, bool value) {
  return in_quotes(name) + ":" + (value ? "true" : "false");
}

std::string tank(const Plant& plant, TankIndex at) {
  const Tank& rules = plant.model().tanks[at.at];
  return "{" + field("level_m", plant.level(at).value(), 4) + "," +
         field("percent", percent_of(rules, plant.level(at)).value(), 2) + "," +
         field("volume_l", plant.basin(at).volume().value(), 3) + "," +
         field("spilled_l", plant.basin(at).ledger().spilled.value(), 3) + "}";
}

std::string pump(const Plant& plant, PumpIndex at) {
  constexpr double kSecondsPerMinute = 60.0;
  return "{" + field("turning", plant.turning(at)) + "," +
         field("flow_l_min", plant.flow(at).value() * kSecondsPerMinute, 2) + "}";
}

std::string contact(const Plant& plant, ContactIndex at) {
  return "{" + field("coil", plant.coil(at)) + "," + field("closed", plant.contactor(at)) + "}";
}

std::string meter(const Plant& plant, MeterIndex at) {
  const bool is_power = plant.model().meters[at.at].rules.kind == LoadKind::power;
  return "{" + field(is_power ? "power_w" : "current_a", plant.load(at).value(), 3) + "}";
}

/// One JSON object of a list, by id.
template <class IndexType, class List, class Tell>
std::string object(std::string_view name, const List& list, Tell tell) {
  std::string text;
  for (std::size_t at = 0; at < list.size(); ++at) {
    text += (text.empty() ? "" : ",") + in_quotes(list[at].id) + ":" + tell(IndexType{at});
  }
  return in_quotes(name) + ":{" + text + "}";
}

}  // namespace

std::string truth_of(const Plant& plant) {
  const Model& model = plant.model();
  return "{" + field("at_s", seconds_of(plant.now()), 3) + "," +
         object<TankIndex>("tanks", model.tanks, [&](TankIndex at) { return tank(plant, at); }) + "," +
         object<PumpIndex>("pumps", model.pumps, [&](PumpIndex at) { return pump(plant, at); }) + "," +
         object<ContactIndex>("contacts", model.contacts,
                              [&](ContactIndex at) { return contact(plant, at); }) +
         "," + object<MeterIndex>("meters", model.meters, [&](MeterIndex at) { return meter(plant, at); }) +
         "," +
         object<SwitchIndex>(
             "switches", model.switches,
             [&](SwitchIndex at) { return std::string{plant.closed(at) ? "\"closed\"" : "\"open\""}; }) +
         "}";
}

}  // namespace stillwell::orchard
