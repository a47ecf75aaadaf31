// A sump that is kept by floats, as people see it: where they see the water, and no level that nobody
// measures.

#include "stillwell/report/homie.hpp"
#include "stillwell/report/limits.hpp"
#include "stillwell/report/matrix.hpp"
#include "stillwell/report/picture.hpp"
#include "stillwell/report/snapshot.hpp"

#include <algorithm>
#include <string>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using nlohmann::json;

namespace {

/// The orchard, its cistern kept by floats that its bore pump fills to.
Model by_floats() {
  Model model = support::orchard_model();
  model.switches = {Switch{"cistern-start", {}}, Switch{"cistern-stop", {}}, Switch{"cistern-high", {}}};
  Tank& cistern = model.tanks[1];
  cistern.gauges.clear();
  cistern.shape = nullptr;
  cistern.full_line = {};
  cistern.floats = TankFloats{SwitchIndex{0}, SwitchIndex{1}, SwitchIndex{2}};
  model.pumps[1].floats = cistern.floats;
  model.pumps[0].source_is_measured = false;
  std::erase_if(model.alarms, [](const Alarm& alarm) { return alarm.id == "cistern/low"; });
  return model;
}

Outcome seen(const Model& model, FloatSight sight) {
  Outcome outcome = support::calm_outcome(support::orchard_model());
  outcome.view.alarms.resize(model.alarms.size());
  TankView cistern;
  cistern.floats = sight;
  cistern.level = Level::bad(Reason::disagree, outcome.at);
  if (is_known(sight)) {
    cistern.level.quality = Quality::good;
    cistern.level.reason = Reason::none;
  }
  outcome.view.tanks[1] = cistern;
  return outcome;
}

Snapshot snap(FloatSight sight) {
  const Model model = by_floats();
  return snapshot(model, seen(model, sight),
                  {.wall = support::some_stamp(), .version = "0.1.0", .broker = "none", .recent = {}});
}

std::string drawn(const Snapshot& site, const PictureStyle& style) {
  std::string text;
  for (const auto& line : picture(site, style))
    text += line + "\n";
  return text;
}

}  // namespace

TEST_CASE("floats: the snapshot says where they see the water and nothing of a level", "[report][floats]") {
  const auto shown = json::parse(to_json(snap(FloatSight::between)))["tanks"];
  CHECK(shown[1]["floats"] == "between");
  CHECK(shown[1]["quality"] == "good");
  for (const char* key : {"level_m", "percent", "volume_l", "last_percent", "age_s", "rate_mm_min"})
    CHECK(shown[1][key].is_null());
  CHECK(shown[0]["floats"].is_null());
  const auto read = parse_snapshot(to_json(snap(FloatSight::high)));
  REQUIRE(read);
  CHECK(read->tanks[1].floats == "high");
}

TEST_CASE("floats: those that say nothing certain need attention", "[report][floats]") {
  CHECK_FALSE(needs_attention(snap(FloatSight::above)));
  CHECK(needs_attention(snap(FloatSight::contradict)));
}

TEST_CASE("floats: the picture shows their word instead of a percent", "[report][floats][picture]") {
  for (const auto& [sight, word] :
       {std::pair{FloatSight::between, "between"}, std::pair{FloatSight::contradict, "unknown"}}) {
    const std::string wide = drawn(snap(sight), {});
    INFO(wide);
    CHECK(wide.find(word) != std::string::npos);
    CHECK(wide.find("floats") != std::string::npos);
  }
  auto many = snap(FloatSight::below);
  many.tanks.resize(6, many.tanks[0]);
  CHECK(drawn(many, {.rows = 24, .columns = 80}).find("below") != std::string::npos);
  many.tanks[1] = snap(FloatSight::contradict).tanks[1];
  CHECK(drawn(many, {.rows = 24, .columns = 80}).find("? disagree") != std::string::npos);
}

TEST_CASE("floats: on the broker the tank has one property for them, and none for what is not measured",
          "[report][floats][homie]") {
  const Model model = by_floats();
  Homie homie{model};
  std::vector<std::string> topics;
  for (const Message& message : homie.announce(seen(model, FloatSight::above).view, {})) {
    if (message.topic.starts_with("homie/5/orchard-cistern/water/")) topics.push_back(message.topic);
    if (message.topic == "homie/5/orchard-cistern/water/floats") CHECK(message.payload == "above");
  }
  CHECK(topics == std::vector<std::string>{"homie/5/orchard-cistern/water/floats",
                                           "homie/5/orchard-cistern/water/quality",
                                           "homie/5/orchard-cistern/water/reason"});
}

TEST_CASE("floats: the matrix names them as the limit", "[report][floats][matrix]") {
  Model model = by_floats();
  Pump& bore = model.pumps[1];
  CHECK(limit_of(model, bore, Cause::tank_unknown) ==
        "floats that contradict each other: cistern-start, cistern-stop, cistern-high");
  CHECK(limit_of(model, bore, Cause::switch_unknown) ==
        "cannot read cistern-start, cistern-stop, cistern-high");
  CHECK(limit_of(model, bore, Cause::float_switch) == "cistern-high on");
  const Matrix matrix = matrix_of(model);
  CHECK(std::ranges::none_of(matrix.causes, [](const CauseLine& line) {
    return line.cause == Cause::source_unknown && line.pumps[0];
  }));
  bore.duty = Duty::drain;
  CHECK(limit_of(model, bore, Cause::switch_unknown) == "cannot read cistern-start, cistern-stop");
}
