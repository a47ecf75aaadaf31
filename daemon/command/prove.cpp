#include "stillwell/command/prove.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/proof_trial.hpp"
#include "stillwell/config/document.hpp"
#include "stillwell/config/small_file.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/report/checksum.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/wall_clock.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>
#include <fstream>
#include <istream>
#include <ostream>

namespace stillwell::command {
namespace {

using report::ProofRecord;
using report::ProofResult;
using report::ProofRow;

/// "proof-lift-20260301T041207Z.json"
std::string record_name(const std::string& pump, Stamp at) {
  std::string date = to_text(at).substr(0, 19);
  std::erase_if(date, [](char one) { return one == '-' || one == ':'; });
  return "proof-" + pump + "-" + date + "Z.json";
}

/// The record on the disk is always as far as the proof has come.
bool write_record(const std::string& file, const ProofRecord& record) {
  std::ofstream stream(file, std::ios::binary | std::ios::trunc);
  stream << report::to_json(record);
  stream.close();
  return static_cast<bool>(stream);
}

void caution(std::ostream& out, const Pump& pump, bool blocked, const std::string& time) {
  const std::string name = name_of(pump.name, pump.id);
  out << "Proof test of " << name << "\n";
  if (blocked) {
    out << "The pump is left off. What holds it back is judged; that its contactor drops out is not shown.\n";
  } else {
    out << "The motor will start and stop several times, at times that nobody chooses. Nobody works on it, "
           "its\npipes or its tanks. One person stands at the contactor, hands off, with the isolator in "
           "reach.\n";
  }
  out << "Other pumps on the same suction may be held for a moment. Forces reach no other pump.\n"
      << "It ends with the pump off. If this program ends early, the pump is off 5 s later.\n"
      << "Expected duration: " << time << ", longer when starts of this hour are spent already.\n\n";
}

void print_plan(std::ostream& out, const std::vector<ProofRow>& rows) {
  for (const ProofRow& row : rows) {
    if (row.result == ProofResult::not_concerned) continue;
    const bool tried = report::is_to_try(row);
    out << "  " << to_word(row.cause) << ": " << (tried ? row.expected : row.why) << "\n";
  }
  out << "\n" << std::flush;
}

/// What the person at the contactor saw. Read in one line each; nobody there is an answer too.
void ask_about(ProofRow& row, std::istream& in, std::ostream& out) {
  out << to_word(row.cause) << ": did the contactor drop out? [y/n/?] " << std::flush;
  std::string answer;
  if (!std::getline(in, answer)) {
    row.said = "not asked";
    out << "\n";
    return;
  }
  row.said = answer.starts_with('y')   ? "dropped out"
             : answer.starts_with('n') ? "did not drop out"
                                       : "not known";
  if (!answer.starts_with('n')) return;
  row.result = ProofResult::failed;
  row.why = "the contactor did not drop out: treat the pump as live";
}

/// The proof from its first row to its last, or to where it was broken off.
struct Proof {
  const ProveRequest& request;
  const Model& model;
  PumpIndex index;
  ProofRecord record;
  std::string file;

  [[nodiscard]] const Pump& pump() const { return model.pumps[index.at]; }

  void try_all(ProofSession& session, std::istream& in, std::ostream& told) {
    ProofTrial trial{session, pump(), model.scan, request.blocked};
    for (ProofRow& row : record.rows) {
      if (!report::is_to_try(row)) continue;
      if (!trial.broken_off().empty()) {
        row.why = "the proof was broken off: " + trial.broken_off();
        continue;
      }
      trial.run(row);
      const bool ran = !request.blocked && !row.seen.empty();
      if (ran && forcing_of(pump(), row.cause) != Forcing::standing) ask_about(row, in, told);
      told << report::to_text(row) << "\n" << std::flush;
      write_record(file, record);
    }
  }
};

std::optional<PumpIndex> find_pump(const Model& model, const std::string& id, std::ostream& err) {
  const auto found = std::ranges::find(model.pumps, id, &Pump::id);
  if (found != model.pumps.end()) return PumpIndex{static_cast<std::size_t>(found - model.pumps.begin())};
  err << "stillwell: no pump is named '" << id << "'; there are:";
  for (const Pump& pump : model.pumps)
    err << ' ' << pump.id;
  err << '\n';
  return std::nullopt;
}

/// Before the motor moves: a proof without a record is none.
bool reserve(const Proof& proof, std::ostream& err) {
  if (std::filesystem::exists(proof.file)) {
    err << "stillwell: " << proof.file << " is there already; a record is never written over\n";
    return false;
  }
  if (write_record(proof.file, proof.record)) return true;
  err << "stillwell: " << proof.file << " cannot be written; check its folder, its mode and the disk\n";
  return false;
}

int carry_out(Proof& proof, std::istream& in, std::ostream& out, std::ostream& err) {
  const ProveRequest& request = proof.request;
  std::ostream& told = request.json ? err : out;
  ProofSession session{request.socket, request.pump};
  if (!reserve(proof, err)) return service::kUsage;
  const Duration time =
      report::expected_duration(proof.model, proof.index, proof.record.rows, request.blocked);
  caution(told, proof.pump(), request.blocked, to_text(std::chrono::ceil<std::chrono::seconds>(time)));
  print_plan(told, proof.record.rows);
  if (const auto begun = session.begin(); !begun.done) {
    std::filesystem::remove(proof.file);
    err << "stillwell: " << (begun.reached ? "refused: " : "") << begun.text << '\n';
    return begun.reached ? service::kRefused : service::kUnreachable;
  }
  proof.try_all(session, in, told);
  told << session.end().text << "\n";
  const bool written = write_record(proof.file, proof.record);
  if (!written) err << "stillwell: " << proof.file << " could not be written to the end\n";
  if (request.json) out << report::to_json(proof.record);
  const bool passed = report::has_passed(proof.record);
  told << (passed ? "passed" : "NOT passed") << "; the record is " << proof.file << "\n";
  return passed && written ? service::kDone : service::kAttention;
}

}  // namespace

int prove(const ProveRequest& request, std::istream& in, std::ostream& out, std::ostream& err) {
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  const auto text = config::read_small_file(request.configuration, config::kLargestFile);
  if (!text) {
    err << "stillwell: " << request.configuration.string() << ": " << text.error() << '\n';
    return service::kUsage;
  }
  const Model& model = configuration->model;
  const auto index = find_pump(model, request.pump, err);
  if (!index) return service::kUsage;
  const Stamp at = service::wall_now();
  Proof proof{.request = request,
              .model = model,
              .index = *index,
              .record = {.at = at,
                         .version = request.version,
                         .file = request.configuration.filename().string(),
                         .checksum = report::checksum_text(*text),
                         .site = model.id,
                         .pump = request.pump,
                         .blocked = request.blocked,
                         .rows = report::plan_proof(model, *index, request.blocked)},
              .file = request.record.empty() ? record_name(request.pump, at) : request.record};
  return carry_out(proof, in, out, err);
}

}  // namespace stillwell::command
