#include "stillwell/rehearsal/scenario_file.hpp"

#include "stillwell/config/motor_load.hpp"
#include "stillwell/quantity/units.hpp"

#include <fstream>

#include "scenario_values.hpp"
#include "yaml_walk.hpp"

namespace stillwell::rehearsal {
namespace {

using plant::Flow;
using plant::Scenario;

constexpr std::size_t kLargestFile = 262'144;  // 256 kB

/// A scenario as it is read; starts from still water.
class Reader : private YamlWalk {
 public:
  Reader(std::string file, const Model& model) : YamlWalk{std::move(file)}, model_{plant::with_pits(model)} {}

  Scenario read(const YAML::Node& root);
  using YamlWalk::problems;

 private:
  template <class List, class Take>
  void by_id(const YAML::Node& map, const std::string& path, const List& list, Take take);
  std::optional<Metres> level(const YAML::Node& node, const std::string& path, TankIndex tank);
  template <class IndexType, class List>
  std::optional<IndexType> named(const YAML::Node& node, const std::string& path, const List& list,
                                 std::string_view thing);
  Flow flow(const YAML::Node& node, const std::string& path);
  void tank(const YAML::Node& node, const std::string& path, TankIndex at, Scenario& scenario);
  void hang_float(const YAML::Node& node, const std::string& path, SwitchIndex at, Scenario& scenario);
  std::optional<MotorLoad> load(const YAML::Node& node, const std::string& path, MeterIndex at);
  void hang_meter(const YAML::Node& node, const std::string& path, MeterIndex at, Scenario& scenario);
  void faults(const YAML::Node& list, const std::string& path, Scenario& scenario);
  void fault(const YAML::Node& node, const std::string& path, Scenario& scenario);

  Model model_;
};

template <class List, class Take>
void Reader::by_id(const YAML::Node& map, const std::string& path, const List& list, Take take) {
  std::vector<Key> keys;
  for (std::size_t at = 0; at < list.size(); ++at) {
    keys.push_back({list[at].id,
                    [at, take](const YAML::Node& node, const std::string& inner) { take(node, inner, at); }});
  }
  walk(map, path, keys);
}

std::optional<Metres> Reader::level(const YAML::Node& node, const std::string& path, TankIndex tank) {
  const auto point = scalar(node, path, parse_set_point);
  if (!point) return std::nullopt;
  const Metres level = level_of(model_.tanks[tank.at], *point);
  if (level >= Metres{0.0}) return level;
  complain(node, path, "a level cannot be negative");
  return std::nullopt;
}

template <class IndexType, class List>
std::optional<IndexType> Reader::named(const YAML::Node& node, const std::string& path, const List& list,
                                       std::string_view thing) {
  const auto id = scalar(node, path, any_text);
  for (std::size_t at = 0; id && at < list.size(); ++at) {
    if (list[at].id == *id) return IndexType{at};
  }
  if (id) complain(node, path, "the configuration has no " + std::string{thing} + " '" + *id + "'");
  return std::nullopt;
}

/// "5 L/min", or steps: [[0 s, 5 L/min], [20 s, 0 L/min]].
Flow Reader::flow(const YAML::Node& node, const std::string& path) {
  Flow flow;
  if (!node.IsSequence()) {
    const auto constant = scalar(node, path, some_flow);
    return constant ? Flow::constant(*constant) : flow;
  }
  for (const auto& step : node) {
    if (!step.IsSequence() || step.size() != 2) {
      complain(step, path, "expected a step such as [20 s, 5 L/min]");
      continue;
    }
    const auto from = scalar(step[0], path, some_time);
    const auto amount = scalar(step[1], path, some_flow);
    if (!from || !amount) continue;
    if (!flow.steps.empty() && *from <= flow.steps.back().from) {
      complain(step, path, "steps stand in order of time");
      continue;
    }
    flow.steps.push_back({*from, *amount});
  }
  return flow;
}

void Reader::tank(const YAML::Node& node, const std::string& path, TankIndex at, Scenario& scenario) {
  plant::TankScenario& tank = scenario.tanks[at.at];
  const auto to_level = [&](Metres& target) {
    return [this, at, &target](const YAML::Node& value, const std::string& inner) {
      target = level(value, inner, at).value_or(target);
    };
  };
  const auto to_flow = [&](Flow& target) {
    return
        [this, &target](const YAML::Node& value, const std::string& inner) { target = flow(value, inner); };
  };
  walk(node, path,
       std::vector<Key>{{"start", to_level(tank.start)},
                        {"brim", to_level(tank.brim)},
                        {"intake", to_level(tank.intake)},
                        {"inflow", to_flow(tank.inflow)},
                        {"draw", to_flow(tank.draw)}});
  if (node.IsMap() && !(tank.start <= tank.brim)) complain(node, path, "it starts above its brim");
}

void Reader::hang_float(const YAML::Node& node, const std::string& path, SwitchIndex at, Scenario& scenario) {
  std::optional<TankIndex> tank;
  YAML::Node above;
  YAML::Node below;
  walk(node, path,
       std::vector<Key>{
           {"tank",
            [&](const YAML::Node& value, const std::string& inner) {
              tank = named<TankIndex>(value, inner, model_.tanks, "tank");
            },
            true},
           {"on_above", [&](const YAML::Node& value, const std::string&) { above.reset(value); }},
           {"on_below", [&](const YAML::Node& value, const std::string&) { below.reset(value); }}});
  if (!node.IsMap() || !tank) return;
  if (above.IsDefined() && !above.IsNull() && below.IsDefined() && !below.IsNull()) {
    return complain(node, path, "give on_above or on_below, not both");
  }
  const bool is_above = above.IsDefined() && !above.IsNull();
  if (!is_above && (!below.IsDefined() || below.IsNull()))
    return complain(node, path, "give on_above or on_below");
  const auto at_level = level(is_above ? above : below, path, *tank);
  if (at_level) scenario.floats.push_back({at, *tank, *at_level, is_above});
}

std::optional<MotorLoad> Reader::load(const YAML::Node& node, const std::string& path, MeterIndex at) {
  const auto written = scalar(node, path, some_load);
  if (!written) return std::nullopt;
  const auto load = config::load_for(model_.meters[at.at].rules.kind, *written);
  if (load) return *load;
  complain(node, path, load.error());
  return std::nullopt;
}

void Reader::hang_meter(const YAML::Node& node, const std::string& path, MeterIndex at, Scenario& scenario) {
  std::optional<PumpIndex> pump;
  std::optional<MotorLoad> wet;
  std::optional<MotorLoad> dry;
  walk(node, path,
       std::vector<Key>{
           {"pump",
            [&](const YAML::Node& value, const std::string& inner) {
              pump = named<PumpIndex>(value, inner, model_.pumps, "pump");
            },
            true},
           {"wet", [&](const YAML::Node& value, const std::string& inner) { wet = load(value, inner, at); },
            true},
           {"dry", [&](const YAML::Node& value, const std::string& inner) { dry = load(value, inner, at); },
            true}});
  if (pump && wet && dry) scenario.supplies.push_back({at, *pump, *wet, *dry});
}

void Reader::fault(const YAML::Node& node, const std::string& path, Scenario& scenario) {
  plant::Fault fault;
  std::string what;
  std::string size;
  std::optional<plant::FaultKind> kind;
  std::optional<Duration> lasts;
  walk(node, path,
       std::vector<Key>{
           {"at", [&](const auto& value, const auto& inner) { into(fault.from, value, inner, some_time); },
            true},
           {"what", [&](const auto& value, const auto& inner) { into(what, value, inner, any_text); }, true},
           {"fault",
            [&](const auto& value, const auto& inner) { into(kind, value, inner, plant::find_fault); }, true},
           {"size", [&](const auto& value, const auto& inner) { into(size, value, inner, any_text); }},
           {"for", [&](const auto& value, const auto& inner) { into(lasts, value, inner, some_time); }}});
  if (!kind || what.empty()) return;
  const auto target = plant::find_target(model_, *kind, what);
  const auto amount = plant::parse_amount(*kind, size);
  if (!target) return complain(node, path, target.error());
  if (!amount) return complain(node, path, amount.error());
  fault.kind = *kind;
  fault.target = *target;
  fault.amount = *amount;
  if (lasts) fault.until = fault.from + *lasts;
  scenario.faults.push_back(fault);
}

void Reader::faults(const YAML::Node& list, const std::string& path, Scenario& scenario) {
  if (!list.IsSequence()) return complain(list, path, "expected a list of faults");
  std::size_t at = 0;
  for (const auto& node : list)
    fault(node, path + "[" + std::to_string(at++) + "]", scenario);
}

Scenario Reader::read(const YAML::Node& root) {
  Scenario scenario = plant::still_water(model_);
  const auto tanks = [&](const YAML::Node& map, const std::string& path) {
    by_id(map, path, model_.tanks, [&](const YAML::Node& node, const std::string& inner, std::size_t at) {
      tank(node, inner, TankIndex{at}, scenario);
    });
  };
  const auto pumps = [&](const YAML::Node& map, const std::string& path) {
    by_id(map, path, model_.pumps, [&](const YAML::Node& node, const std::string& inner, std::size_t at) {
      into(scenario.pump_flow[at], node, inner, some_flow);
    });
  };
  const auto switches = [&](const YAML::Node& map, const std::string& path) {
    by_id(map, path, model_.switches, [&](const YAML::Node& node, const std::string& inner, std::size_t at) {
      hang_float(node, inner, SwitchIndex{at}, scenario);
    });
  };
  const auto meters = [&](const YAML::Node& map, const std::string& path) {
    by_id(map, path, model_.meters, [&](const YAML::Node& node, const std::string& inner, std::size_t at) {
      hang_meter(node, inner, MeterIndex{at}, scenario);
    });
  };
  walk(root, "",
       std::vector<Key>{
           {"seed",
            [&](const auto& value, const auto& path) { into(scenario.seed, value, path, whole_number); }},
           {"air",
            [&](const auto& value, const auto& path) { into(scenario.air, value, path, parse_temperature); }},
           {"ripple",
            [&](const auto& value, const auto& path) { into(scenario.ripple, value, path, some_length); }},
           {"cycle",
            [&](const auto& value, const auto& path) { into(scenario.cycle, value, path, some_cycle); }},
           {"tanks", tanks},
           {"pumps", pumps},
           {"switches", switches},
           {"meters", meters},
           {"faults", [&](const auto& value, const auto& path) { faults(value, path, scenario); }}});
  return scenario;
}

LoadedScenario failed(const std::string& file, int line, int column, const std::string& text) {
  return {std::nullopt, {config::Problem{file, line, column, "", text}}};
}

}  // namespace

LoadedScenario parse_scenario(std::string_view text, const std::string& file_name, const Model& model) {
  if (text.size() > kLargestFile) return failed(file_name, 0, 0, "is larger than 256 kB");
  try {
    const auto documents = YAML::LoadAll(std::string{text});
    if (documents.size() != 1) return failed(file_name, 0, 0, "expected exactly one document");
    Reader reader{file_name, model};
    Scenario scenario = reader.read(documents.front());
    if (!reader.problems().empty()) return {std::nullopt, reader.problems()};
    return {std::move(scenario), {}};
  } catch (const YAML::Exception& error) {
    return failed(file_name, error.mark.line + 1, error.mark.column + 1, error.msg);
  }
}

LoadedScenario load_scenario(const std::filesystem::path& file, const Model& model) {
  std::ifstream stream{file, std::ios::binary};
  std::string text(kLargestFile + 1, '\0');
  if (!std::filesystem::is_regular_file(file) || !stream)
    return failed(file.string(), 0, 0, "cannot be read");
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return parse_scenario(text, file.string(), model);
}

}  // namespace stillwell::rehearsal
