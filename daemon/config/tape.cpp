#include "stillwell/config/tape.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <cmath>

namespace stillwell::config {
namespace {

Metres to_millimetre(Metres value) {
  return Metres{std::round(value.value() * 1000.0) / 1000.0};
}

std::string in_millimetres(Metres value) {
  return fixed(value.value() * 1000.0, 1) + " mm";
}

void append(std::vector<std::string>& to, const std::vector<std::string>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

/// What the configuration itself holds against a distance.
std::vector<std::string> against_distance(const Gauge& gauge, const Mounting& mounting, Stand stand,
                                          Metres distance) {
  std::vector<std::string> why;
  if (distance < gauge.rules.blanking)
    why.push_back(to_text(distance) + " is nearer than the gauge can see (blanking " +
                  to_text(gauge.rules.blanking) + "): mount it higher");
  if (gauge.rules.reach && distance > *gauge.rules.reach)
    why.push_back(to_text(distance) + " is farther than the gauge can see (reach " +
                  to_text(*gauge.rules.reach) + ")");
  if (stand == Stand::empty && distance <= mounting.to_full)
    why.push_back("the floor would be no farther than the full line (to_full " + to_text(mounting.to_full) +
                  "): is the tank empty? If it is, sound it --full first");
  if (stand == Stand::full && distance >= mounting.to_floor)
    why.push_back("the full line would be no nearer than the floor (to_floor " + to_text(mounting.to_floor) +
                  "): is the tank full? If it is, sound it --empty first");
  return why;
}

/// Whoever measured before was not that far off: common practice, no source. It may be a guess that stands in
/// the file, and it may be a tank that is not empty, from which every level would be wrong.
constexpr Metres kFar{0.10};

std::string far_off(const Mounting& mounting, Stand stand, Metres value) {
  const bool empty = stand == Stand::empty;
  const Metres now = empty ? mounting.to_floor : mounting.to_full;
  const Metres apart{std::abs((value - now).value())};
  if (apart <= kFar) return "";
  return "The file says " + to_text(now) + ", and this is " + to_text(apart) + " " +
         (value < now ? "nearer" : "farther") + ": is the tank really " + (empty ? "empty" : "full") +
         "? If it is not, every level would be wrong by as much.";
}

std::string basis(const SoundingFigures& figures, Metres doubt) {
  std::string text = "# median of " + std::to_string(figures.kept.size()) + " soundings, spread " +
                     in_millimetres(figures.spread);
  if (doubt > Metres{0.0})
    text += "; give or take " + in_millimetres(doubt) + ", for the temperature is not known";
  return text;
}

std::string yaml_of(const Tank& tank, const Gauge& gauge, const TapeProposal& proposal,
                    const std::string& comment) {
  const std::string pair = proposal.key + ": " + fixed(proposal.value->value(), 3) + " m";
  std::string yaml = "tanks:\n  " + tank.id + ":\n    ";
  if (tank.gauges.size() == 1) return yaml + pair + "   " + comment + "\n";
  if (proposal.key == "to_floor")
    return yaml + "gauges:   # beside the others\n      - { gauge: " + gauge.id + ", " + pair + " }   " +
           comment + "\n";
  return yaml + pair + "   " + comment + "; of its gauges those without a to_floor of their own\n";
}

std::string_view key_for(Measures measures, Stand stand) {
  if (measures == Measures::depth) return stand == Stand::empty ? "mounted_at" : "full";
  return stand == Stand::empty ? "to_floor" : "to_full";
}

}  // namespace

std::optional<TankIndex> tank_of(const Model& model, GaugeIndex gauge) {
  for (std::size_t at = 0; at < model.tanks.size(); ++at)
    for (const TankGauge& one : model.tanks[at].gauges)
      if (one.gauge == gauge) return TankIndex{at};
  return {};
}

TapeProposal propose(const Model& model, GaugeIndex index, Stand stand, const SoundingFigures& figures,
                     Metres doubt) {
  const Gauge& gauge = model.gauges[index.at];
  TapeProposal proposal;
  proposal.key = key_for(gauge.rules.measures, stand);
  const auto at = tank_of(model, index);
  if (!at) {
    proposal.against = {"no tank uses the gauge"};
    return proposal;
  }
  const Tank& tank = model.tanks[at->at];
  const auto mounted = std::find_if(tank.gauges.begin(), tank.gauges.end(),
                                    [&](const TankGauge& one) { return one.gauge == index; });
  proposal.against = insufficient(figures);
  append(proposal.against, unsteady(figures, gauge.rules.settle.noise));
  const bool is_depth = gauge.rules.measures == Measures::depth;
  if (is_depth && stand == Stand::empty)
    proposal.against.emplace_back(
        "it measures the depth above itself, and sees no floor: measure mounted_at with a tape");
  const Metres value = to_millimetre(is_depth ? figures.median - mounted->mounting.to_floor : figures.median);
  if (!is_depth && figures.count > 0)
    append(proposal.against, against_distance(gauge, mounted->mounting, stand, value));
  if (!proposal.against.empty()) return proposal;
  proposal.value = value;
  if (!is_depth) proposal.doubtful = far_off(mounted->mounting, stand, value);
  proposal.yaml = yaml_of(tank, gauge, proposal, basis(figures, doubt));
  return proposal;
}

}  // namespace stillwell::config
