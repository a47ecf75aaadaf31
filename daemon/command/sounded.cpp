#include "stillwell/command/sounded.hpp"

#include "stillwell/quantity/listed.hpp"
#include "stillwell/report/histogram.hpp"

#include <algorithm>
#include <cmath>
#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using SoundedJson = nlohmann::ordered_json;

std::string millimetre_text(Metres value) {
  return fixed(value.value() * 1000.0, 1) + " mm";
}

std::string fault_text(const std::map<Reason, std::size_t>& faults) {
  std::vector<std::string> words;
  words.reserve(faults.size());
  for (const auto& [reason, count] : faults)
    words.push_back(std::string{to_word(reason)} + " " + std::to_string(count) + " times");
  return words.empty() ? "" : " (" + listed(words) + ")";
}

std::string heading(const SoundedRun& run, const SoundedResult& result) {
  const SoundingFigures& figures = result.figures;
  return result.gauge + ": " + std::to_string(figures.count) + " soundings in " + to_text(run.lasted) + ", " +
         std::to_string(figures.missed) + " missed" + fault_text(result.faults) + ", " +
         std::to_string(figures.outliers) + (figures.outliers == 1 ? " outlier" : " outliers");
}

void print_figures(const SoundedResult& result, bool unicode, std::ostream& out) {
  const SoundingFigures& figures = result.figures;
  out << "  mean " << to_text(figures.mean) << ", spread " << millimetre_text(figures.spread)
      << (figures.outliers > 0 ? " without outliers" : "") << "; from " << to_text(figures.lowest) << " to "
      << to_text(figures.highest) << "\n";
  if (result.doubt > Metres{0.0})
    out << "  a temperature is not known, which leaves " << millimetre_text(result.doubt) << " either way\n";
  if (const auto& drift = figures.drift)
    out << "  drift " << (drift->slope > MetresPerSecond{} ? "+" : "") << to_text(drift->slope)
        << ", give or take " << to_text(drift->half_width) << " (95 %); " << millimetre_text(drift->scatter)
        << " about it\n";
  for (const std::string& row : report::histogram(figures.kept, {.columns = 79, .unicode = unicode}))
    out << row << "\n";
}

void print_clauses(const std::string& heading, const std::vector<std::string>& clauses, std::ostream& out) {
  out << heading;
  for (std::size_t at = 0; at < clauses.size(); ++at)
    out << (at == 0 ? " " : "; ") << clauses[at];
  out << ".\n";
}

void print_proposal(const config::TapeProposal& proposal, std::ostream& out) {
  if (!proposal.value) return print_clauses("  No " + proposal.key + " is proposed:", proposal.against, out);
  if (!proposal.doubtful.empty()) out << "  " << proposal.doubtful << "\n";
  out << "  Proposed; check it with a tape, then paste:\n\n" << proposal.yaml << "\n";
}

SoundedJson drift_json(const std::optional<Drift>& drift) {
  if (!drift) return nullptr;
  constexpr double kMillimetresAMinute = 60'000.0;
  return {{"slope_mm_min", drift->slope.value() * kMillimetresAMinute},
          {"half_width_mm_min", drift->half_width.value() * kMillimetresAMinute},
          {"over_run_m", drift->over_run.value()},
          {"scatter_m", drift->scatter.value()}};
}

SoundedJson proposal_json(const std::optional<config::TapeProposal>& proposal) {
  if (!proposal) return nullptr;
  return {{"key", proposal->key},
          {"value_m", proposal->value ? SoundedJson(proposal->value->value()) : SoundedJson(nullptr)},
          {"yaml", proposal->yaml},
          {"against", proposal->against},
          {"doubtful", proposal->doubtful}};
}

SoundedJson result_json(const SoundedResult& result) {
  const SoundingFigures& figures = result.figures;
  const auto known = [&](Metres value) {
    return figures.count > 0 ? SoundedJson(value.value()) : SoundedJson(nullptr);
  };
  SoundedJson faults = SoundedJson::object();
  for (const auto& [reason, count] : result.faults)
    faults[std::string{to_word(reason)}] = count;
  return {{"gauge", result.gauge},
          {"count", figures.count},
          {"missed", figures.missed},
          {"faults", faults},
          {"outliers", figures.outliers},
          {"mean_m", known(figures.mean)},
          {"spread_m", known(figures.spread)},
          {"median_m", known(figures.median)},
          {"lowest_m", known(figures.lowest)},
          {"highest_m", known(figures.highest)},
          {"doubt_m", known(result.doubt)},
          {"drift", drift_json(figures.drift)},
          {"unsteady", result.unsteady},
          {"proposal", proposal_json(result.proposal)}};
}

}  // namespace

void Sounded::take(const GaugeSample& sample) {
  const bool is_new = sample.at >= run_.begun && sample.at > newest_;
  remember(companions_, sample, rules_.correction);
  if (!is_new) return;
  newest_ = sample.at;
  if (!sample.value || !std::isfinite(sample.value->value())) {
    ++faults_[sample.fault];
    return;
  }
  const auto correct = rules_.measures == Measures::distance ? corrected_distance : corrected_depth;
  const Corrected corrected = correct(*sample.value, rules_.correction, companions_, sample.at);
  soundings_.push_back({sample.at, corrected.value});
  doubt_ = std::max(doubt_, corrected.uncertainty);
}

void print_text(const SoundedRun& run, bool unicode, std::ostream& out) {
  out << (run.through_daemon ? "read through the running daemon\n"
                             : "no daemon runs: read on the line itself\n");
  for (const SoundedResult& result : run.results) {
    out << heading(run, result) << "\n";
    if (result.figures.count > 0) print_figures(result, unicode, out);
    if (!result.unsteady.empty()) print_clauses("  Not steady:", result.unsteady, out);
    if (result.proposal) print_proposal(*result.proposal, out);
  }
}

void print_json(const SoundedRun& run, std::ostream& out) {
  SoundedJson json{{"through", run.through_daemon ? "daemon" : "line"},
                   {"lasted_s", seconds_of(run.lasted)},
                   {"gauges", SoundedJson::array()}};
  for (const SoundedResult& result : run.results)
    json["gauges"].push_back(result_json(result));
  out << json.dump(2, ' ', false, SoundedJson::error_handler_t::replace) << '\n';
}

}  // namespace stillwell::command
