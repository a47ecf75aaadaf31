#pragma once
// The record of a proof test, and what is expected of it beforehand. Pure. Its causes, and what brings each
// about, are those of the matrix.

#include "stillwell/pump/force.hpp"
#include "stillwell/site/model.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::report {

enum class ProofResult : std::uint8_t { passed, failed, not_tried, not_forced, not_concerned };
std::string_view to_word(ProofResult result);

struct ProofRow {
  Cause cause{};
  ProofResult result = ProofResult::not_tried;
  std::string expected;          ///< empty where it does not concern the pump
  std::string why;               ///< it was not tried, not forced, or has failed
  std::string seen;              ///< what came of it; empty when it was not tried
  std::optional<Duration> took;  ///< from the force to the order off
  std::string said;              ///< by the person at the contactor
};

struct ProofRecord {
  Stamp at{};
  std::string version;   ///< of the program
  std::string file;      ///< the configuration's name
  std::string checksum;  ///< and its CRC-32
  std::string site;
  std::string pump;
  bool blocked = false;        ///< the pump was left off
  std::vector<ProofRow> rows;  ///< one for every row of the cause table, in its order
};

/// The rows before anything was tried: those to try are not_tried, without a why.
std::vector<ProofRow> plan_proof(const Model& model, PumpIndex pump, bool blocked);
bool is_to_try(const ProofRow& row);

/// The longest that a cause may take from being forced to the order off; without the time of the scan.
Duration reaction_of(const Pump& pump, Cause cause);

/// How long the proof will take: every run waits for the motor's rest, and for its starts of an hour, none
/// of which are taken to be spent before.
Duration expected_duration(const Model& model, PumpIndex pump, const std::vector<ProofRow>& rows,
                           bool blocked);

/// Every row that concerns the pump has passed, or is one that nobody can force.
bool has_passed(const ProofRecord& record);

std::string to_text(const ProofRow& row);  ///< one line
std::string to_json(const ProofRecord& record);

}  // namespace stillwell::report
