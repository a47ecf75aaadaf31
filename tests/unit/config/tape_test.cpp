// What a run of soundings proposes for a configuration, and what it refuses to.

#include "stillwell/config/tape.hpp"

#include "stillwell/config/configuration.hpp"

#include <chrono>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;

namespace {

constexpr const char* kSite = R"(site: { id: orchard }
lines:
  shed: { port: /dev/ttyUSB0, speed: 9600 8N1, carries: modbus }
gauges:
  header-top:
    line: shed
    station: 1
    distance: { table: input, address: 0, as: u16, unit: mm }
    blanking: 25 cm
    reach: 4.5 m
  bore-depth:
    line: shed
    station: 4
    depth: { table: holding, address: 2, as: f32be, unit: m }
    mounted_at: 20 cm
  pair-a: { line: shed, station: 5, distance: { table: input, address: 0, as: u16, unit: mm } }
  pair-b: { line: shed, station: 6, distance: { table: input, address: 0, as: u16, unit: mm } }
  spare: { line: shed, station: 7, distance: { table: input, address: 0, as: u16, unit: mm } }
tanks:
  header: { gauge: header-top, to_floor: 2.85 m, to_full: 40 cm, holds: { capacity: 5000 L } }
  bore: { gauge: bore-depth, full: 2 m, holds: { capacity: 400 L } }
  cistern: { gauges: [pair-a, pair-b], to_floor: 2 m, to_full: 40 cm, holds: { capacity: 5000 L } }
)";

const Model& model() {
  static const Loaded loaded = parse(kSite, "site.yaml");
  for (const Problem& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.configuration);
  return loaded.configuration->model;
}

constexpr GaugeIndex kHeaderTop{0};
constexpr GaugeIndex kBoreDepth{1};
constexpr GaugeIndex kPairA{2};
constexpr GaugeIndex kSpare{4};

SoundingFigures sounded(double metres, std::size_t count = 30, double half = 0.002, double a_period = 0.0) {
  support::Dice dice{9};
  std::vector<Sounding> soundings;
  for (std::size_t at = 0; at < count; ++at)
    soundings.push_back({Instant{1h} + 1s * static_cast<std::int64_t>(at + 1),
                         Metres{metres + a_period * static_cast<double>(at) + dice.between(-half, half)}});
  return figures_of(
      soundings,
      {.begun = Instant{1h}, .ended = Instant{1h} + 1s * static_cast<std::int64_t>(count), .every = 1s});
}

}  // namespace

TEST_CASE("tape: an empty tank proposes to_floor, to the millimetre, with what it rests on",
          "[config][tape]") {
  const auto proposal = propose(model(), kHeaderTop, Stand::empty, sounded(2.9134, 30, 0.0), Metres{});
  REQUIRE(proposal.value);
  CHECK(proposal.value->value() == Approx(2.913));
  CHECK(proposal.yaml ==
        "tanks:\n  header:\n    to_floor: 2.913 m   # median of 30 soundings, spread 0.0 mm\n");
}

TEST_CASE("tape: a tank that can hardly be empty, or full, is asked after", "[config][tape]") {
  const auto asked = [](Stand stand, double metres) {
    const auto proposal = propose(model(), kHeaderTop, stand, sounded(metres, 30, 0.0), Metres{});
    REQUIRE(proposal.value);
    return proposal.doubtful;
  };
  CHECK(asked(Stand::empty, 2.913).empty());
  CHECK(asked(Stand::full, 0.412).empty());
  CHECK(asked(Stand::empty, 1.829) ==
        "The file says 2.850 m, and this is 1.021 m nearer: is the tank really empty? If it is not, every "
        "level "
        "would be wrong by as much.");
  CHECK(asked(Stand::full, 1.4)
            .starts_with("The file says 0.400 m, and this is 1.000 m farther: is the tank really full?"));
}

TEST_CASE("tape: a full one proposes to_full", "[config][tape]") {
  const auto proposal = propose(model(), kHeaderTop, Stand::full, sounded(0.412), Metres{0.003});
  REQUIRE(proposal.value);
  CHECK(proposal.value->value() == Approx(0.412).margin(0.002));
  CHECK(proposal.yaml.find("    to_full: 0.41") != std::string::npos);
  CHECK(proposal.yaml.find("give or take 3.0 mm") != std::string::npos);
}

TEST_CASE("tape: what is pasted beside the rest of the file is read as it was meant", "[config][tape]") {
  const auto proposal = propose(model(), kHeaderTop, Stand::empty, sounded(2.913, 30, 0.0), Metres{});
  std::string text{kSite};
  const std::string line = proposal.yaml.substr(proposal.yaml.find("to_floor"));
  const std::string was =
      "header: { gauge: header-top, to_floor: 2.85 m, to_full: 40 cm, holds: { capacity: 5000 L } }";
  text.replace(
      text.find(was), was.size(),
      "header:\n    gauge: header-top\n    to_full: 40 cm\n    holds: { capacity: 5000 L }\n    " + line);
  const auto loaded = parse(text, "site.yaml");
  REQUIRE(loaded.configuration);
  CHECK(loaded.configuration->model.tanks[0].gauges[0].mounting.to_floor.value() == Approx(2.913));
}

TEST_CASE("tape: water that moves, scatters or was seen too seldom proposes nothing", "[config][tape]") {
  for (const auto& figures : {sounded(2.9, 30, 0.001, 0.001), sounded(2.9, 30, 0.05), sounded(2.9, 9)}) {
    const auto proposal = propose(model(), kHeaderTop, Stand::empty, figures, Metres{});
    CHECK_FALSE(proposal.value);
    CHECK(proposal.yaml.empty());
    CHECK(proposal.against.size() == 1);
  }
}

TEST_CASE("tape: a line that the sensor cannot see, or an order upside down, is not proposed",
          "[config][tape]") {
  const auto against = [](Stand stand, double metres) {
    const auto proposal = propose(model(), kHeaderTop, stand, sounded(metres), Metres{});
    CHECK_FALSE(proposal.value);
    REQUIRE(proposal.against.size() == 1);
    return proposal.against[0];
  };
  CHECK(against(Stand::full, 0.21).find("blanking") != std::string::npos);
  CHECK(against(Stand::empty, 4.7).find("reach") != std::string::npos);
  CHECK(against(Stand::empty, 0.35).find("is the tank empty?") != std::string::npos);
  CHECK(against(Stand::full, 2.9).find("is the tank full?") != std::string::npos);
}

TEST_CASE("tape: a submerged sensor proposes full above the floor, and sees no floor", "[config][tape]") {
  const auto full = propose(model(), kBoreDepth, Stand::full, sounded(1.75, 30, 0.0), Metres{});
  REQUIRE(full.value);
  CHECK(full.key == "full");
  CHECK(full.value->value() == Approx(1.95));
  const auto empty = propose(model(), kBoreDepth, Stand::empty, sounded(0.0), Metres{});
  CHECK_FALSE(empty.value);
  REQUIRE(empty.against.size() == 1);
  CHECK(empty.against[0].find("mounted_at") != std::string::npos);
}

TEST_CASE("tape: one of several gauges proposes what is its own", "[config][tape]") {
  CHECK(propose(model(), kPairA, Stand::empty, sounded(2.05), Metres{})
            .yaml.find("- { gauge: pair-a, to_floor: 2.0") != std::string::npos);
}

TEST_CASE("tape: a gauge that no tank uses has nowhere to propose to", "[config][tape]") {
  const auto proposal = propose(model(), kSpare, Stand::empty, sounded(2.05), Metres{});
  CHECK_FALSE(proposal.value);
  CHECK(proposal.against == std::vector<std::string>{"no tank uses the gauge"});
}
