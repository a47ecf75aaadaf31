// A meter in a whole scan: what trips by it, what is shown of it, and the energy that it counts.

#include <chrono>

#include "support/bench_site.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;
using support::SiteBench;

namespace {

constexpr std::size_t kLift = 0;
constexpr std::size_t kBore = 1;

/// The orchard with a meter in the lift's supply: dry below 350 W for 5 s.
Model metered(LoadKind kind = LoadKind::power) {
  Model model = support::working_orchard();
  model.meters = {{"lift-power", {.kind = kind, .stale_after = 3s}}};
  model.pumps[kLift].dry_run.power = PowerGuard{MeterIndex{0}, MotorLoad{350.0}, 5s};
  return model;
}

class Bench : public SiteBench {
 public:
  explicit Bench(Model site = metered()) : SiteBench{std::move(site)} { image.readings.meters.resize(1); }

  std::optional<double> wet = 900.0;  ///< what the meter shows of a running motor; empty: it does not answer

  void scan_for(Duration time) {
    for (const auto end = now + time; now < end;) {
      const Instant at = now + 1s;
      const bool runs = !last.contacts.empty() && on(kLift);
      image.readings.meters[0] = {.at = at, .value = runs ? *wet : 0.0, .fault = Reason::none};
      if (!wet) image.readings.meters[0] = {.at = at, .value = {}, .fault = Reason::no_answer};
      scan();
    }
  }
  void run_lift() {
    levels = {0.9, 1.5};
    scan_for(40s);
    REQUIRE(on(kLift));
  }
  [[nodiscard]] const MotorView& motor() const { return last.view.pumps[kLift].motor.value(); }
  void restart(Duration away) {
    SiteBench::restart(away);
    image.readings.meters.assign(1, {});
  }
};

}  // namespace

TEST_CASE("site: a motor that takes too little trips as no-power, and rests for it",
          "[site][meter][rule-8]") {
  Bench bench;
  bench.run_lift();
  bench.wet = 250.0;
  bench.scan_for(5s);
  CHECK(bench.on(kLift));
  bench.scan_for(3s);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.last.view.pumps[kLift].first_out == Cause::no_power);
  bench.scan_for(10min);
  CHECK_FALSE(bench.on(kLift));
}

TEST_CASE("site: a meter that cannot be read stops its pump as meter-unknown", "[site][meter][rule-2]") {
  Bench bench;
  bench.run_lift();
  bench.wet.reset();
  bench.scan_for(3s);
  CHECK(bench.on(kLift));  // the last reading is not stale yet
  bench.scan_for(2s);
  CHECK_FALSE(bench.on(kLift));
  CHECK(bench.last.view.pumps[kLift].first_out == Cause::meter_unknown);
}

TEST_CASE("site: the load is shown as last read, and not at all when it is not known", "[site][meter]") {
  Bench bench;
  bench.run_lift();
  bench.scan_for(1s);
  CHECK(bench.motor().kind == LoadKind::power);
  CHECK(bench.motor().load == MotorLoad{900.0});
  bench.wet.reset();
  bench.scan_for(5s);
  CHECK_FALSE(bench.motor().load.has_value());
  CHECK(bench.motor().used.has_value());  // what was used stays used
  CHECK_FALSE(bench.last.view.pumps[kBore].motor.has_value());
}

TEST_CASE("site: energy is counted while it is seen, and a gap counts nothing", "[site][meter][accounts]") {
  Bench bench;
  bench.run_lift();
  const Joules before = *bench.motor().used;
  bench.scan_for(60s);
  CHECK((*bench.motor().used - before).value() == Approx(900.0 * 60));
  bench.wet.reset();
  bench.scan_for(1min);
  bench.wet = 900.0;
  const Joules then = *bench.motor().used;
  bench.scan_for(1s);
  CHECK(*bench.motor().used == then);  // one reading after a gap is the beginning of what is seen
}

TEST_CASE("site: a meter that shows amperes counts no energy", "[site][meter][accounts]") {
  Bench bench{metered(LoadKind::current)};
  bench.run_lift();
  bench.scan_for(1s);
  CHECK(bench.motor().kind == LoadKind::current);
  CHECK(bench.motor().load == MotorLoad{900.0});
  CHECK_FALSE(bench.motor().used.has_value());
  CHECK(bench.memory.accounts.pumps[kLift].energy.used == Joules{});
}

TEST_CASE("site: energy outlives a restart, and the time away counts nothing", "[site][meter][accounts]") {
  Bench bench;
  bench.run_lift();
  bench.scan_for(60s);
  const Joules before = *bench.motor().used;
  CHECK(before.value() > 900.0 * 55);
  bench.restart(2h);
  bench.levels = {1.95, 1.5};  // nothing to do
  bench.scan_for(10s);
  CHECK(*bench.motor().used == before);
}
