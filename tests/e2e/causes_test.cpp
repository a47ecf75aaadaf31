// Every cause of the cause table, brought about on real bytes: what happens on the simulated wire stops a
// running pump or holds a start, the coil in the module is off, and what is told names that cause and no
// other. A cause without a row fails the test, unless kWithoutRow names it.
#include "stillwell/pump/causes.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <ctime>
#include <iterator>
#include <sstream>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/places.hpp"
#include <nlohmann/json.hpp>

using nlohmann::json;
using stillwell::Cause;
using stillwell::CauseRow;
using stillwell::Verdict;
using support::eventually;
using support::Gateway;

namespace {

// ------------------------------------------------------------------------------------------- what is done

/// `plant …`: an order to the simulated orchard. `stillwell …`: a command that must be obeyed. `await STATE`:
/// of the pump. `await-start`: in the journal, for a run too short to be seen. `await-level PERCENT`: the
/// header is seen above it.
using Steps = std::vector<std::string>;

enum class Ends { run, wait };  ///< it stops a running pump, or holds a start

struct Row {
  Cause cause;
  std::string pump;
  Ends ends;
  Steps before;  ///< up to where the pump runs, or would start
  Steps bring;   ///< the cause
  Steps heal;    ///< so that the next row finds nothing of it
};

const Steps kLiftRuns{"plant set cistern 80 %", "plant set header 30 %", "stillwell mode lift auto",
                      "await running"};
const Steps kDrainRuns{"plant set cistern 80 %", "plant set sump 80 %", "stillwell mode drain auto",
                       "await running"};
const std::string kFull = "plant set bore-well 97 %";
const std::string kEmptied = "plant set bore-well 80 %";

const std::vector<Row> kRows{
    {Cause::tank_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault header-top exception"},
     {"plant clear header-top"}},
    {Cause::source_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-top silence"},
     {"plant clear cistern-top"}},
    {Cause::switch_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-float exception"},
     {"plant clear cistern-float"}},
    {Cause::meter_unknown,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-power exception"},
     {"plant clear lift-power"}},
    // The dry run itself is seen by the level and the float before the meter can tell it.
    {Cause::no_power,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-power misreads 20 %"},
     {"plant clear lift-power", "stillwell reset lift"}},
    {Cause::source_low, "lift", Ends::run, kLiftRuns, {"plant set cistern 8 %"}, {"plant set cistern 80 %"}},
    {Cause::source_float,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault cistern-float broken-wire"},
     {"plant clear cistern-float"}},
    {Cause::tank_high, "lift", Ends::run, kLiftRuns, {"plant set header 95 %"}, {"plant set header 30 %"}},
    {Cause::float_switch,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault header-float broken-wire"},
     {"plant clear header-float"}},
    {Cause::no_feedback,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-contact open-circuit"},
     {"plant clear lift-contact", "stillwell reset lift"}},
    {Cause::stuck_on,
     "lift",
     Ends::run,
     kLiftRuns,
     {"plant fault lift-contact welded", "plant set header 85 %"},
     {"plant clear lift-contact"}},
    {Cause::mode_off, "lift", Ends::run, kLiftRuns, {"stillwell mode lift off"}, {}},
    {Cause::service_out,
     "lift",
     Ends::run,
     kLiftRuns,
     {"stillwell service lift out"},
     {"stillwell service lift in"}},
    {Cause::contact_unreachable,
     "drain",
     Ends::run,
     kDrainRuns,
     {"plant fault drain-contact exception"},
     {"plant clear drain-contact"}},
    {Cause::source_high,
     "drain",
     Ends::run,
     kDrainRuns,
     {"plant set cistern 98 %"},
     {"plant set cistern 80 %"}},
    {Cause::over_time,
     "bore",
     Ends::run,
     {"plant set cistern 25 %", "stillwell mode bore auto", "await-start"},
     {},
     {"plant set cistern 80 %"}},
    {Cause::hand_ended,
     "lift",
     Ends::run,
     // Only a level that is seen asks for nothing any more.
     {"plant set header 55 %", "await-level 50", "stillwell mode lift hand", "await running"},
     {"stillwell mode lift auto"},
     {}},
    // These hold for as long as the test runs.
    {Cause::window,
     "night",
     Ends::wait,
     {"plant set cistern 80 %", "stillwell mode night auto"},
     {"plant set bore-well 40 %"},
     {kEmptied}},
    {Cause::power_up, "late", Ends::wait, {"stillwell mode late auto"}, {kFull}, {kEmptied}},
    {Cause::rest, "tired", Ends::wait, {"stillwell mode tired auto"}, {kFull}, {kEmptied}},
    {Cause::starts,
     "spent",
     Ends::wait,
     {kFull, "stillwell mode spent auto", "await running", kEmptied, "await stopped"},
     {kFull},
     {kEmptied}},
};

/// Known to the rules and to the configuration, and not yet brought about here: the simulated orchard plays
/// no panel, flow switch or isolator, and no two pumps on one suction.
constexpr std::array kWithoutRow{Cause::isolator, Cause::selector, Cause::needs,   Cause::no_rise,
                                 Cause::no_flow,  Cause::peer_dry, Cause::stagger, Cause::flow_stuck};

// ------------------------------------------------------------------------------------------- the orchard

/// Two hours from now, for one hour.
std::string window_elsewhen() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  const auto clock = [](int hour) { return (hour < 10 ? "0" : "") + std::to_string(hour) + ":00"; };
  return clock((local.tm_hour + 2) % 24) + "-" + clock((local.tm_hour + 3) % 24);
}

constexpr const char* kDrains = "duty: drain\n    start_at: 95 %\n    stop_at: 90 %\n";
/// A drain pump heeds no window while nobody trusts the clock (rule 21).
constexpr const char* kFills = "duty: fill\n    from: cistern\n    start_at: 45 %\n    stop_at: 60 %\n";

/// A pump that has nothing to do while the bore's well is neither nearly full nor half empty, and no guard
/// that could speak.
std::string extra_pump(const std::string& id, const std::string& duty, const std::string& limits) {
  return "  " + id + ":\n    tank: bore-well\n    contact: " + id + "-contact\n    " + duty +
         "    limits: { " + limits + " }\n";
}

/// The demonstration with hardly any flow, so that no level but an ordered one is reached; with a float on a
/// module of its own, so that it can be lost alone; and with pumps that are held for as long as the test
/// runs.
Gateway::Edits edits() {
  std::string pumps;
  pumps += extra_pump("night", kFills + ("    allowed: [\"" + window_elsewhen() + "\"]\n"),
                      "off_at_least: 0 s, starts_per_hour: 0, after_power_up: 0 s");
  pumps += extra_pump("late", kDrains, "off_at_least: 0 s, starts_per_hour: 0, after_power_up: 1 h");
  pumps += extra_pump("tired", kDrains, "off_at_least: 1 h, starts_per_hour: 0, after_power_up: 0 s");
  pumps += extra_pump("spent", kDrains, "off_at_least: 0 s, starts_per_hour: 1, after_power_up: 0 s");
  std::string contacts;
  int coil = 4;
  for (const char* id : {"night", "late", "tired", "spent"}) {
    contacts += "  " + std::string(id) +
                "-contact: { line: shed, station: 10, coil: " + std::to_string(coil++) +
                ", fails_off: wired }\n";
  }
  return {{"scan: 500 ms", "scan: 200 ms"},
          {"off_at_least: 2 s", "off_at_least: 0 s"},
          {"flow_rate: 300 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 270 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 150 L/min", "flow_rate: 1 L/min"},
          {"cistern-float: { line: shed, station: 10, table: discrete, address: 1",
           "cistern-float: { line: shed, station: 11, table: discrete, address: 1"},
          {"coil: 2, fails_off: wired", "coil: 2, refresh: { address: 42, for: 5 s }"},
          {"    tank: sump\n", "    tank: sump\n    to: cistern\n    trips: { high: 95 % }\n"},
          {"run_at_most: 3 min, after_power_up: 14 s", "run_at_most: 5 s, after_power_up: 0 s"},
          {"\ntanks:\n", "\n" + contacts + "\ntanks:\n"},
          {"\nannunciators:", "\n" + pumps + "\nannunciators:"}};
}

constexpr std::array<const char*, 7> kPumps{"lift", "bore", "drain", "night", "late", "tired", "spent"};

// --------------------------------------------------------------------------------------------- one row

class Stage {
 public:
  explicit Stage(Gateway& gateway) : gateway_{gateway} {}

  /// Everything else is off, so that a row is about its own pump.
  void all_off() {
    for (const char* pump : kPumps)
      REQUIRE(gateway_.command({"mode", pump, "off"}).code == 0);
  }
  void play(const Row& row);

 private:
  void take(const Steps& steps, const std::string& pump);
  void take(const std::string& step, const std::string& pump);
  void expect_stopped(const Row& row, const std::string& first_out_before);
  void expect_held(const Row& row);
  void clear_away(const Row& row);

  [[nodiscard]] std::string of(const std::string& pump, const std::string& field) const {
    const auto at = std::distance(kPumps.begin(), std::find(kPumps.begin(), kPumps.end(), pump));
    return gateway_.status("/pumps/" + std::to_string(at) + "/" + field);
  }
  [[nodiscard]] bool becomes(const std::string& pump, const std::string& field,
                             const std::string& wanted) const {
    return eventually([&] { return of(pump, field) == wanted; });
  }
  /// What the simulated module's relay really is.
  [[nodiscard]] bool coil(const std::string& pump) {
    gateway_.order("show");
    const std::string out = gateway_.orchard().out();
    const std::size_t at = out.rfind("ok {") + 3;
    return json::parse(out.substr(at, out.find('\n', at) - at))
        .at("contacts")
        .at(pump + "-contact")
        .at("coil")
        .get<bool>();
  }
  [[nodiscard]] std::size_t starts(const std::string& pump) const {
    return gateway_.journal({R"("kind":"start","of":")" + pump + "\""}).size();
  }
  /// What has ended runs of the pump since the row began, "trip source-low"; its stop level ends none of
  /// them.
  [[nodiscard]] std::vector<std::string> endings(const std::string& pump) const {
    const auto lines = gateway_.journal({R"("of":")" + pump + "\""});
    std::vector<std::string> found;
    for (auto line = lines.begin() + static_cast<std::ptrdiff_t>(told_); line < lines.end(); ++line) {
      const json event = json::parse(*line);
      const std::string kind = event.at("kind");
      const std::string cause = event.value("cause", "");
      if ((kind == "trip" || kind == "lockout" || kind == "stop") && cause != "stop-level")
        found.push_back(kind + " " + cause);
    }
    return found;
  }

  Gateway& gateway_;
  std::size_t told_ = 0;   ///< lines of the journal about the pump when its cause was brought about
  std::size_t begun_ = 0;  ///< starts when the row began
};

void Stage::take(const std::string& step, const std::string& pump) {
  INFO(step);
  std::istringstream rest{step};
  std::vector<std::string> words{std::istream_iterator<std::string>{rest}, {}};
  if (words[0] == "plant") {
    gateway_.order(step.substr(words[0].size() + 1));
  } else if (words[0] == "await") {
    REQUIRE(becomes(pump, "state", words.at(1)));
  } else if (words[0] == "await-level") {
    REQUIRE(eventually(
        [&] { return std::atof(gateway_.status("/tanks/0/percent").c_str()) > std::stod(words.at(1)); }));
  } else if (words[0] == "await-start") {
    REQUIRE(eventually([&] { return starts(pump) > begun_; }));
  } else {
    const auto ended = gateway_.command({words.begin() + 1, words.end()});
    INFO(ended.err);
    REQUIRE(ended.code == 0);
  }
}

void Stage::take(const Steps& steps, const std::string& pump) {
  for (const std::string& step : steps)
    take(step, pump);
}

std::string kind_of(Verdict verdict) {
  if (verdict == Verdict::lock_out) return "lockout";
  return verdict == Verdict::trip ? "trip" : "stop";
}

void Stage::expect_stopped(const Row& row, const std::string& first_out_before) {
  const CauseRow& known = stillwell::row_of(row.cause);
  const std::string ending = kind_of(known.verdict) + " " + std::string(known.word);
  CHECK(eventually([&] { return !endings(row.pump).empty(); }));
  CHECK(eventually([&] { return !coil(row.pump); }));
  CHECK(endings(row.pump) == std::vector<std::string>{ending});
  if (known.verdict >= Verdict::trip) {
    CHECK(becomes(row.pump, "first_out", std::string(known.word)));
  } else {
    CHECK(of(row.pump, "first_out") == first_out_before);
  }
}

void Stage::expect_held(const Row& row) {
  const std::string word = "[\"" + std::string(stillwell::to_word(row.cause)) + "\"]";
  CHECK(becomes(row.pump, "state", "waiting"));
  CHECK(becomes(row.pump, "held_by", word));
  CHECK_FALSE(coil(row.pump));
  CHECK(endings(row.pump).empty());
}

void Stage::clear_away(const Row& row) {
  take(row.heal, row.pump);
  REQUIRE(gateway_.command({"mode", row.pump, "off"}).code == 0);
  if (stillwell::row_of(row.cause).verdict == Verdict::lock_out)
    REQUIRE(eventually([&] { return gateway_.command({"reset", row.pump}).code == 0; }));
}

void Stage::play(const Row& row) {
  INFO("cause " << stillwell::to_word(row.cause) << " of pump " << row.pump);
  begun_ = starts(row.pump);
  take(row.before, row.pump);
  const bool runs = row.ends == Ends::run;
  CHECK(eventually([&] { return coil(row.pump) == runs; }));
  told_ = gateway_.journal({R"("of":")" + row.pump + "\""}).size();
  const std::string first_out = of(row.pump, "first_out");
  take(row.bring, row.pump);
  if (runs) {
    expect_stopped(row, first_out);
  } else {
    expect_held(row);
  }
  clear_away(row);
}

}  // namespace

TEST_CASE(
    "causes: each one that a configuration can ask for stops a pump or holds it, and is told by its name",
    "[e2e][causes][rule-1]") {
  Gateway gateway{Gateway::With::no_broker, edits()};
  Stage stage{gateway};
  stage.all_off();
  for (const Row& row : kRows)
    stage.play(row);
}

TEST_CASE("causes: each one of the table is brought about, or named as one that is not", "[e2e][causes]") {
  for (const CauseRow& known : stillwell::cause_table()) {
    INFO("cause " << known.word);
    const auto is_it = [&](const auto& row) { return row.cause == known.cause; };
    const auto rows = std::count_if(kRows.begin(), kRows.end(), is_it);
    const auto without = std::count(kWithoutRow.begin(), kWithoutRow.end(), known.cause);
    CHECK((rows > 0) == (without == 0));
  }
}
