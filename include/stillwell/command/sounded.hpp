#pragma once
// What came of sounding one gauge, and how it is printed.

#include "stillwell/config/tape.hpp"
#include "stillwell/reading/correction.hpp"
#include "stillwell/reading/sample.hpp"
#include "stillwell/reading/soundings.hpp"
#include "stillwell/site/model.hpp"

#include <cstddef>
#include <iosfwd>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::command {

/// Soundings of one gauge as they come.
class Sounded {
 public:
  Sounded(GaugeIndex gauge, const GaugeRules& rules, SoundingRun run)
      : gauge_{gauge}, rules_{rules}, run_{run} {}

  /// The newest sample; the same one may be shown again and again, and counts once.
  void take(const GaugeSample& sample);
  void end(Instant at) { run_.ended = at; }

  [[nodiscard]] GaugeIndex gauge() const { return gauge_; }
  [[nodiscard]] const std::vector<Sounding>& soundings() const { return soundings_; }
  [[nodiscard]] const std::map<Reason, std::size_t>& faults() const { return faults_; }
  [[nodiscard]] Metres doubt() const { return doubt_; }
  [[nodiscard]] Metres noise() const { return rules_.settle.noise; }
  [[nodiscard]] SoundingFigures figures() const { return figures_of(soundings_, run_); }

 private:
  GaugeIndex gauge_;
  GaugeRules rules_;
  SoundingRun run_;
  Instant newest_{};
  Companions companions_;
  std::vector<Sounding> soundings_;
  std::map<Reason, std::size_t> faults_;  ///< samples without a reading
  Metres doubt_{};                        ///< half width that corrections leave, the widest
};

/// Everything that is printed of it.
struct SoundedResult {
  std::string gauge;
  SoundingFigures figures;
  std::map<Reason, std::size_t> faults;
  std::vector<std::string> unsteady;
  Metres doubt{};
  std::optional<config::TapeProposal> proposal;

  [[nodiscard]] bool is_fine() const {
    return figures.count > 0 && figures.missed == 0 && unsteady.empty() &&
           (!proposal || (proposal->value.has_value() && proposal->doubtful.empty()));
  }
};

struct SoundedRun {
  Duration lasted{};
  bool through_daemon = false;
  std::vector<SoundedResult> results;
};

void print_text(const SoundedRun& run, bool unicode, std::ostream& out);
void print_json(const SoundedRun& run, std::ostream& out);

}  // namespace stillwell::command
