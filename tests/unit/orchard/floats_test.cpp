// The shipped sump, kept by floats alone, in simulated water: it fills and is emptied; then a wire breaks.

#include "stillwell/plant/plant.hpp"
#include "stillwell/rehearsal/scenario_file.hpp"
#include "stillwell/site/solve.hpp"

#include <algorithm>
#include <chrono>

#include "support/catch.hpp"
#include "support/places.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr TankIndex kSump{0};
constexpr PumpIndex kDrain{0};
constexpr SwitchIndex kStop{0};

constexpr const char* kSeepage = R"(
tanks: { sump: { start: 20 %, inflow: 2 L/min } }
pumps: { drain: 150 L/min }
switches:
  sump-stop: { tank: sump, on_above: 20 cm }
  sump-start: { tank: sump, on_above: 60 cm }
  sump-high: { tank: sump, on_above: 90 % }
)";

/// The site's rules against the plant, a scan a second.
class Pit {
 public:
  Pit() : site_{load_site()}, plant_{site_, load_water(site_)}, memory_{remember_nothing(site_)} {}

  void run_for(Duration time) {
    for (const Duration end = plant_.now() + time; plant_.now() < end;) {
      plant_.advance(1s);
      now_ += 1s;
      InputImage image;
      for (std::size_t at = 0; at < site_.switches.size(); ++at)
        image.readings.switches.push_back({now_, plant_.closed(SwitchIndex{at}), Reason::none});
      image.readings.contacts = {{now_, plant_.coil(ContactIndex{0}), Reason::none}};
      last_ = solve(site_, memory_, image, now_);
      const bool on = last_.contacts[0] == Order::on;
      if (on && !was_on_) ++starts_;
      was_on_ = on;
      plant_.write(ContactIndex{0}, on);
      lowest_ = std::min(lowest_, plant_.level(kSump));
      highest_ = std::max(highest_, plant_.level(kSump));
    }
  }
  void run_until_on() {
    for (int second = 0; second < 3 * 3600 && !was_on_; ++second)
      run_for(1s);
    REQUIRE(was_on_);
  }

  /// It has risen, and nobody has acknowledged it.
  [[nodiscard]] bool called(const std::string& alarm) const {
    for (std::size_t at = 0; at < site_.alarms.size(); ++at)
      if (site_.alarms[at].id == alarm) return memory_.alarms[at].state != AlarmState::normal;
    FAIL("no alarm is named " << alarm);
    return false;
  }

  plant::Plant& plant() { return plant_; }
  [[nodiscard]] const PumpView& drain() const { return last_.view.pumps[kDrain.at]; }
  [[nodiscard]] bool on() const { return was_on_; }
  [[nodiscard]] int starts() const { return starts_; }
  [[nodiscard]] Metres lowest() const { return lowest_; }
  [[nodiscard]] Metres highest() const { return highest_; }
  void forget_extremes() { lowest_ = highest_ = plant_.level(kSump); }

 private:
  static Model load_site() {
    const auto loaded = config::load(support::source_dir() + "/config/sump-by-floats.yaml");
    REQUIRE(loaded.configuration);
    return loaded.configuration->model;
  }
  static plant::Scenario load_water(const Model& site) {
    const auto loaded = rehearsal::parse_scenario(kSeepage, "seepage.yaml", site);
    for (const auto& problem : loaded.problems)
      UNSCOPED_INFO(problem.to_text());
    REQUIRE(loaded.scenario);
    return *loaded.scenario;
  }

  Model site_;
  plant::Plant plant_;
  Memory memory_;
  Outcome last_;
  Instant now_{1h};
  bool was_on_ = false;
  int starts_ = 0;
  Metres lowest_{10.0};
  Metres highest_{0.0};
};

}  // namespace

TEST_CASE("floats: the shipped sump is kept between its floats for a day", "[orchard][floats]") {
  Pit pit;
  pit.run_for(30min);
  pit.forget_extremes();
  pit.run_for(23h);
  CHECK(pit.starts() > 10);
  // A float swings a centimetre, and a scan a second sees it as late as the pump moves the water: 4 mm.
  CHECK(pit.lowest() > Metres{0.18});
  CHECK(pit.highest() < Metres{0.62});
  CHECK_FALSE(pit.called("sump/float-high"));
  CHECK_FALSE(pit.called("sump/unwell"));
}

TEST_CASE(
    "floats: when the wire of its stop float breaks the pump stops, the alarm tells, and blind runs keep "
    "the packing shed dry",
    "[orchard][floats]") {
  Pit pit;
  pit.run_until_on();
  REQUIRE(
      pit.plant().order({.target = {plant::Part::input, kStop.at}, .kind = plant::FaultKind::broken_wire}));
  pit.run_for(1s);
  // The wire reads as dry, below a start float that the water has reached: no water stands so.
  CHECK_FALSE(pit.on());
  CHECK(pit.drain().first_out == Cause::tank_unknown);
  CHECK_FALSE(pit.called("sump/unwell"));
  pit.run_for(62s);
  CHECK(pit.called("sump/unwell"));
  const int before = pit.starts();
  pit.run_for(6h);
  CHECK(pit.starts() > before + 10);
  CHECK(pit.highest() < Metres{0.9});
  CHECK_FALSE(pit.called("sump/float-high"));
  pit.plant().clear({plant::Part::input, kStop.at});
  pit.run_for(3h);
  pit.forget_extremes();
  pit.run_for(6h);
  CHECK(pit.highest() < Metres{0.62});
  CHECK(pit.lowest() < Metres{0.21});
}
