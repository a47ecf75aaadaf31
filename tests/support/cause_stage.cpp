#include "support/cause_stage.hpp"

#include "stillwell/config/reaction.hpp"
#include "stillwell/report/proof.hpp"

#include <algorithm>
#include <cstdlib>
#include <iterator>
#include <sstream>

#include "support/catch.hpp"
#include <nlohmann/json.hpp>

namespace support {
namespace {

using nlohmann::json;
using stillwell::Cause;
using stillwell::Verdict;

std::string kind_of(Verdict verdict) {
  if (verdict == Verdict::lock_out) return "lockout";
  return verdict == Verdict::trip ? "trip" : "stop";
}

}  // namespace

CauseStage::CauseStage(Gateway& gateway, std::vector<std::string> pumps)
    : gateway_{gateway},
      configuration_{stillwell::config::load(gateway.configuration()).configuration.value()},
      pumps_{std::move(pumps)} {
  for (const std::string& pump : pumps_)
    REQUIRE(gateway_.command({"mode", pump, "off"}).code == 0);
}

std::string CauseStage::of(const std::string& pump, const std::string& field) const {
  const auto at = std::distance(pumps_.begin(), std::find(pumps_.begin(), pumps_.end(), pump));
  return gateway_.status("/pumps/" + std::to_string(at) + "/" + field);
}

bool CauseStage::becomes(const std::string& pump, const std::string& field, const std::string& wanted) const {
  return eventually([&] { return of(pump, field) == wanted; });
}

std::string CauseStage::truth() {
  gateway_.order("show");
  const std::string out = gateway_.orchard().out();
  const std::size_t at = out.rfind("ok {") + 3;
  return out.substr(at, out.find('\n', at) - at);
}

bool CauseStage::coil(const std::string& contact) {
  return json::parse(truth()).at("contacts").at(contact).at("coil").get<bool>();
}

bool CauseStage::turns(const std::string& pump) {
  return json::parse(truth()).at("pumps").at(pump).at("turning").get<bool>();
}

std::size_t CauseStage::starts(const std::string& pump) const {
  return gateway_.journal({R"("kind":"start","of":")" + pump + "\""}).size();
}

/// What has ended runs of the pump since its cause was brought about, "trip source-low"; its stop level ends
/// none of them.
std::vector<std::string> CauseStage::endings(const std::string& pump) const {
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

void CauseStage::take_one(const std::string& step, const std::string& pump) {
  INFO(step);
  std::istringstream rest{step};
  std::vector<std::string> words{std::istream_iterator<std::string>{rest}, {}};
  if (words[0] == "plant") {
    gateway_.order(step.substr(words[0].size() + 1));
  } else if (words[0] == "await") {
    REQUIRE(becomes(words.size() > 2 ? words[1] : pump, "state", words.back()));
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

void CauseStage::take(const Steps& steps, const std::string& pump) {
  for (const std::string& step : steps)
    take_one(step, pump);
}

/// Until its contact is off: the oldest reading that is still believed, the delay of the cause, two scans,
/// and the line behind a silent station (rule 5).
stillwell::Duration CauseStage::stated(const CauseCase& one) const {
  using stillwell::Duration;
  const stillwell::Model& model = configuration_.model;
  const auto pump = std::ranges::find(model.pumps, one.pump, &stillwell::Pump::id);
  Duration oldest{};
  for (const auto& gauge : model.gauges)
    oldest = std::max(oldest, gauge.rules.stale_after);
  for (const auto& input : model.switches)
    oldest = std::max(oldest, input.rules.stale_after);
  for (const auto& meter : model.meters)
    oldest = std::max(oldest, meter.rules.stale_after);
  Duration delay = stillwell::report::reaction_of(*pump, one.cause);
  if (one.cause == Cause::over_time) delay = pump->limits.run_at_most;
  if (one.cause == Cause::no_rise) delay = 2 * pump->dry_run.rise->within;
  const auto line = stillwell::config::reaction_of(configuration_.wiring, pump->contact);
  return oldest + delay + 2 * model.scan + line.value_or(stillwell::config::Reaction{}).silent;
}

void CauseStage::expect_stopped(const CauseCase& one, const std::string& first_out_before) {
  const stillwell::CauseRow& known = stillwell::row_of(one.cause);
  const std::string ending = kind_of(known.verdict) + " " + std::string(known.word);
  // A machine that also compiles is allowed some seconds more than is stated.
  constexpr auto kLoaded = std::chrono::seconds{8};
  const auto bound = std::chrono::duration_cast<Bound>(stated(one) + kLoaded);
  INFO("stated: " << stillwell::seconds_of(stated(one)) << " s");
  CHECK(eventually([&] { return !coil(one.pump + "-contact"); }, bound));
  CHECK(eventually([&] { return !endings(one.pump).empty(); }));
  const auto all = endings(one.pump);
  REQUIRE_FALSE(all.empty());
  CHECK(all.front() == ending);
  // What was tried again meanwhile may have failed again, by the same cause.
  CHECK(std::ranges::all_of(
      all, [&](const std::string& each) { return each.ends_with(" " + std::string(known.word)); }));
  if (known.verdict >= Verdict::trip) {
    CHECK(becomes(one.pump, "first_out", std::string(known.word)));
  } else {
    CHECK(of(one.pump, "first_out") == first_out_before);
  }
}

void CauseStage::expect_held(const CauseCase& one) {
  const std::string word = "[\"" + std::string(stillwell::to_word(one.cause)) + "\"]";
  CHECK(becomes(one.pump, "state", "waiting"));
  CHECK(becomes(one.pump, "held_by", word));
  CHECK_FALSE(coil(one.pump + "-contact"));
  CHECK(endings(one.pump).empty());
}

void CauseStage::clear_away(const CauseCase& one) {
  take(one.heal, one.pump);
  REQUIRE(gateway_.command({"mode", one.pump, "off"}).code == 0);
  if (stillwell::row_of(one.cause).verdict == Verdict::lock_out)
    REQUIRE(eventually([&] { return gateway_.command({"reset", one.pump}).code == 0; }));
}

void CauseStage::play(const CauseCase& one) {
  INFO("cause " << stillwell::to_word(one.cause) << " of pump " << one.pump);
  begun_ = starts(one.pump);
  take(one.before, one.pump);
  const bool runs = one.ends == Ends::run;
  CHECK(eventually([&] { return coil(one.pump + "-contact") == runs; }));
  told_ = gateway_.journal({R"("of":")" + one.pump + "\""}).size();
  const std::string first_out = of(one.pump, "first_out");
  take(one.bring, one.pump);
  if (runs) {
    expect_stopped(one, first_out);
  } else {
    expect_held(one);
  }
  clear_away(one);
}

}  // namespace support
