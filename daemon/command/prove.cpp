#include "stillwell/command/prove.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/proof_trial.hpp"
#include "stillwell/quantity/units.hpp"
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

/// The record on the disk is always as far as the proof has come: it is written beside, so that a disk that
/// is full leaves the last one.
bool write_record(const std::string& file, const ProofRecord& record) {
  const std::string next = file + ".new";
  std::error_code error;
  {
    std::ofstream stream(next, std::ios::binary | std::ios::trunc);
    stream << report::to_json(record);
    stream.close();
    if (!stream) error = std::make_error_code(std::errc::io_error);
  }
  if (!error) std::filesystem::rename(next, file, error);
  if (!error) return true;
  std::error_code ignored;
  std::filesystem::remove(next, ignored);
  return false;
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

  /// False when its record could not be written: what is not recorded is not worth another start.
  bool try_all(ProofSession& session, std::istream& in, std::ostream& told) {
    ProofTrial trial{session, pump(), model.scan, request.blocked};
    std::string broken_off;
    bool written = true;
    for (ProofRow& row : record.rows) {
      if (!report::is_to_try(row)) continue;
      if (!broken_off.empty()) {
        row.why = "the proof was broken off: " + broken_off;
        continue;
      }
      trial.run(row);
      const bool ran = !request.blocked && !row.seen.empty();
      if (ran && forcing_of(pump(), row.cause) != Forcing::standing) ask_about(row, in, told);
      told << report::to_text(row) << "\n" << std::flush;
      written = write_record(file, record);
      broken_off = written ? trial.broken_off() : "its record could not be written";
    }
    return written;
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

void tell_unwritten(const Proof& proof, std::ostream& err) {
  err << "stillwell: " << proof.file << " cannot be written; check its folder, its mode and the disk\n";
}

/// Before the motor moves: a proof without a record is none.
bool reserve(const Proof& proof, std::ostream& err) {
  if (std::filesystem::exists(proof.file)) {
    err << "stillwell: " << proof.file
        << " is there already, and a record is never written over; name another file with --record\n";
    return false;
  }
  const bool written = write_record(proof.file, proof.record);
  if (!written) tell_unwritten(proof, err);
  return written;
}

/// The rules that the daemon solves must be those that the record names; else what passes is said of a file
/// that nobody runs.
int begin(const Proof& proof, ProofSession& session, std::ostream& err) {
  const auto running = session.configuration();
  if (!running) {
    err << "stillwell: " << running.error() << '\n';
    return service::kUnreachable;
  }
  if (*running != proof.record.checksum) {
    err << "stillwell: refused: the daemon runs another configuration (CRC-32 " << *running << ") than "
        << proof.request.configuration.string() << " (CRC-32 " << proof.record.checksum
        << "); restart the daemon, or name the file that it runs with --config\n";
    return service::kRefused;
  }
  const auto begun = session.begin();
  if (begun.done) return service::kDone;
  err << "stillwell: " << (begun.reached ? "refused: " : "") << begun.text << '\n';
  return begun.reached ? service::kRefused : service::kUnreachable;
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
  if (const int code = begin(proof, session, err); code != service::kDone) {
    std::filesystem::remove(proof.file);
    return code;
  }
  bool written = proof.try_all(session, in, told);
  told << session.end().text << "\n" << std::flush;
  written = write_record(proof.file, proof.record) && written;
  if (!written) tell_unwritten(proof, err);
  if (request.json) out << report::to_json(proof.record);
  const bool passed = report::has_passed(proof.record);
  told << (passed ? "passed" : "NOT passed");
  if (written) told << "; the record is " << proof.file;
  told << "\n";
  return passed && written ? service::kDone : service::kAttention;
}

}  // namespace

int prove(const ProveRequest& request, std::istream& in, std::ostream& out, std::ostream& err) {
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
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
                         .checksum = configuration->checksum,
                         .site = model.id,
                         .pump = request.pump,
                         .blocked = request.blocked,
                         .rows = report::plan_proof(model, *index, request.blocked)},
              .file = request.record.empty() ? record_name(request.pump, at) : request.record};
  return carry_out(proof, in, out, err);
}

}  // namespace stillwell::command
