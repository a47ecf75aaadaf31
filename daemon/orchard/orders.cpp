#include "stillwell/orchard/orders.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace stillwell::orchard {
namespace {

using plant::Plant;
using Words = std::vector<std::string>;

constexpr std::size_t kLongestOrder = 256;

std::string error(const std::string& why) {
  return "error " + why;
}

Words split(std::string_view text) {
  Words words;
  std::size_t at = 0;
  while ((at = text.find_first_not_of(" \t\r", at)) != std::string_view::npos) {
    const std::size_t end = std::min(text.find_first_of(" \t\r", at), text.size());
    words.emplace_back(text.substr(at, end - at));
    at = end;
  }
  return words;
}

std::string join(Words::const_iterator from, Words::const_iterator to) {
  std::string text;
  for (; from != to; ++from)
    text += (text.empty() ? "" : " ") + *from;
  return text;
}

std::optional<TankIndex> find_tank(const Model& model, const std::string& id) {
  for (std::size_t at = 0; at < model.tanks.size(); ++at) {
    if (model.tanks[at].id == id) return TankIndex{at};
  }
  return std::nullopt;
}

/// fault WHAT KIND [SIZE] [for DURATION]
std::string order_fault(const Words& words, Plant& plant) {
  if (words.size() < 3) return error("expected: fault WHAT KIND [SIZE] [for DURATION]");
  const auto kind = plant::find_fault(words[2]);
  if (!kind) return error(kind.error());
  const auto target = plant::find_target(plant.model(), *kind, words[1]);
  if (!target) return error(target.error());
  const auto lasts = std::find(words.begin() + 3, words.end(), "for");
  const auto amount = plant::parse_amount(*kind, join(words.begin() + 3, lasts));
  if (!amount) return error(amount.error());
  plant::Fault fault{.target = *target, .kind = *kind, .amount = *amount, .from = plant.now(), .until = {}};
  if (lasts != words.end()) {
    const auto duration = parse_duration(join(lasts + 1, words.end()));
    if (!duration) return error(duration.error());
    fault.until = fault.from + *duration;
  }
  if (!plant.order(fault)) return error("there are too many faults already; clear some");
  return "ok " + words[1] + ": " + std::string{plant::row_of(*kind).text};
}

/// clear WHAT
std::string order_clear(const Words& words, Plant& plant) {
  if (words.size() != 2) return error("expected: clear WHAT");
  const auto targets = plant::find_targets(plant.model(), words[1]);
  if (targets.empty()) return error("nothing is named '" + words[1] + "'");
  for (const plant::Target& target : targets)
    plant.clear(target);
  return "ok " + words[1] + ": no faults";
}

/// set TANK SET-POINT
std::string order_level(const Words& words, Plant& plant) {
  if (words.size() < 3) return error("expected: set TANK LEVEL, for example: set header 40 %");
  const auto tank = find_tank(plant.model(), words[1]);
  if (!tank) return error("no tank is named '" + words[1] + "'");
  const auto point = parse_set_point(join(words.begin() + 2, words.end()));
  if (!point) return error(point.error());
  const Metres level = level_of(plant.model().tanks[tank->at], *point);
  if (!(level >= Metres{0.0})) return error("a level is not negative");
  plant.place(*tank, level);
  return "ok " + words[1] + ": " + to_text(plant.level(*tank));
}

/// inflow TANK FLOW, draw TANK FLOW
std::string order_flow(const Words& words, Plant& plant) {
  if (words.size() < 3)
    return error("expected: " + words[0] + " TANK FLOW, for example: draw header 5 L/min");
  const auto tank = find_tank(plant.model(), words[1]);
  if (!tank) return error("no tank is named '" + words[1] + "'");
  const auto flow = parse_flow(join(words.begin() + 2, words.end()));
  if (!flow) return error(flow.error());
  if (!(*flow >= LitresPerSecond{0.0})) return error("a flow is not negative");
  if (words[0] == "inflow") {
    plant.set_inflow(*tank, *flow);
  } else {
    plant.set_draw(*tank, *flow);
  }
  return "ok " + words[1] + ": " + words[0] + " " + to_text(*flow);
}

/// The button of an annunciator, which springs back.
std::optional<SwitchIndex> find_button(const Model& model, const std::string& id) {
  for (const Annunciator& annunciator : model.annunciators) {
    if (!annunciator.silence_switch) continue;
    const SwitchIndex input = annunciator.silence_switch->input;
    if (model.switches[input.at].id == id) return input;
  }
  return std::nullopt;
}

/// press BUTTON [for DURATION]
std::string order_press(const Words& words, Plant& plant) {
  constexpr Duration kUsual = std::chrono::seconds{1};
  const bool lasts = words.size() > 3 && words[2] == "for";
  if (words.size() != 2 && !lasts) return error("expected: press BUTTON [for DURATION]");
  const auto button = find_button(plant.model(), words[1]);
  if (!button) return error("no annunciator has '" + words[1] + "' as its silence_switch");
  const auto held = lasts ? parse_duration(join(words.begin() + 3, words.end())) : Result<Duration>{kUsual};
  if (!held) return error(held.error());
  plant.press(*button, *held);
  return "ok " + words[1] + ": pressed for " + to_text(*held);
}

/// A switch of a panel that says off or hand to a pump.
std::optional<SwitchIndex> find_selector(const Model& model, const std::string& id) {
  for (const Pump& pump : model.pumps) {
    for (const auto& input : {pump.selector.off, pump.selector.hand}) {
      if (input && model.switches[input->at].id == id) return input;
    }
  }
  return std::nullopt;
}

/// turn SELECTOR on|off
std::string order_turn(const Words& words, Plant& plant) {
  const bool whole = words.size() == 3 && (words[2] == "on" || words[2] == "off");
  if (!whole) return error("expected: turn SELECTOR on, or: turn SELECTOR off");
  const auto selector = find_selector(plant.model(), words[1]);
  if (!selector) return error("no pump has '" + words[1] + "' in its selector");
  plant.turn(*selector, words[2] == "on");
  return "ok " + words[1] + ": " + words[2];
}

std::string order_show(const Words& /*words*/, Plant& plant) {
  return "ok " + truth_of(plant);
}

struct Row {
  std::string_view word;
  std::string (*carry_out)(const Words&, Plant&);
};
constexpr std::array kRows{
    Row{"fault", order_fault}, Row{"clear", order_clear}, Row{"set", order_level}, Row{"inflow", order_flow},
    Row{"draw", order_flow},   Row{"press", order_press}, Row{"turn", order_turn}, Row{"show", order_show},
};

}  // namespace

std::string carry_out(std::string_view order, Plant& plant) {
  if (order.size() > kLongestOrder) return error("an order has at most 256 characters");
  const Words words = split(order);
  if (words.empty()) return error("an empty order");
  std::string known;
  for (const Row& row : kRows) {
    if (row.word == words[0]) return row.carry_out(words, plant);
    known += std::string{row.word} + ", ";
  }
  return error("'" + words[0] + "' is no order; there are " + known + "quit");
}

}  // namespace stillwell::orchard
