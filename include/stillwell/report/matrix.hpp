#pragma once
// The cause-and-effect matrix of a site: what every cause does to every pump, and which alarms call whom.
// Pure, from the configuration alone, so that the paper in the pump house says what the program does.

#include "stillwell/config/wiring.hpp"
#include "stillwell/pump/concerns.hpp"
#include "stillwell/site/model.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

/// What a cause does to one pump, and what brings it about there.
struct PumpEffect {
  Verdict verdict = Verdict::permit;
  std::string when;
};

struct CauseLine {
  Cause cause{};
  std::vector<std::optional<PumpEffect>> pumps;  ///< in the model's order; empty where it cannot come up
};

struct AlarmLine {
  Alarm alarm;
  std::string when;
  std::string until;
  std::vector<bool> sounds;  ///< the annunciators, in the model's order
};

/// How soon its contact is off once the reading that trips it has arrived; empty where nobody knows.
struct ReactionLine {
  std::string pump;
  std::string contact;
  std::optional<Duration> healthy;
  std::optional<Duration> silent;  ///< with a station on the line that does not answer
};

struct Matrix {
  std::vector<std::string> pumps;
  std::vector<std::string> annunciators;
  std::vector<CauseLine> causes;  ///< every one of the table, in its order; none without a pump
  std::vector<ReactionLine> reactions{};
  std::vector<AlarmLine> alarms;
};

Matrix matrix_of(const Model& model);
/// By pump.
std::vector<ReactionLine> reactions_of(const Model& model, const config::Wiring& wiring);

/// "holds start", "stops", "trips", "locks out"; "ignored" for what changes nothing.
std::string_view effect_word(Verdict verdict);

}  // namespace stillwell::report
