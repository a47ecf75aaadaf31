#include "stillwell/command/proof_session.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/report/client.hpp"
#include "stillwell/report/requests.hpp"

#include <algorithm>
#include <exception>
#include <utility>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;

constexpr auto kRenewEvery = 1s;    // several times within the lease (site/proof_lease.hpp)
constexpr auto kLookEvery = 100ms;  // a look costs the daemon no scan

}  // namespace

ProofSession::ProofSession(std::filesystem::path socket, std::string pump)
    : socket_{std::move(socket)}, pump_{std::move(pump)} {}

ProofSession::~ProofSession() {
  try {
    end();
  } catch (const std::exception&) {
    // The lease ends it, too.
  }
}

ProofSession::Said ProofSession::ask(const std::string& verb, const std::string& target,
                                     const std::string& argument) const {
  json request{{"do", verb}, {"target", target}};
  if (!argument.empty()) request["argument"] = argument;
  const auto reply =
      report::ask_daemon(socket_, request.dump(-1, ' ', false, json::error_handler_t::replace));
  if (!reply) return {.text = reply.error()};
  const auto answer = report::parse_answer(*reply);
  if (!answer) return {.text = answer.error()};
  return {.reached = true, .done = answer->done, .text = answer->text};
}

ProofSession::Said ProofSession::begin() {
  Said said = step("begin");
  if (!said.done) return said;
  stands_ = true;
  thread_ = std::thread{[this] { renew(); }};
  return said;
}

void ProofSession::renew() {
  std::unique_lock lock{mutex_};
  while (!wake_.wait_for(lock, kRenewEvery, [this] { return !stands_; })) {
    lock.unlock();
    const Said said = step("keep");
    lock.lock();
    if (said.done || !stands_) continue;
    lost_ = true;
    return;
  }
}

ProofSession::Said ProofSession::end() {
  {
    const std::lock_guard lock{mutex_};
    if (!std::exchange(stands_, false)) return {.text = "no proof is under way"};
  }
  wake_.notify_all();
  thread_.join();
  return step("end");
}

ProofSession::Said ProofSession::step(const std::string& step) {
  return ask("prove", pump_, step);
}
ProofSession::Said ProofSession::mode(const std::string& mode) {
  return step(mode);
}
ProofSession::Said ProofSession::reset() {
  return ask("reset", pump_, "");
}

Result<report::Snapshot> ProofSession::snapshot() const {
  const auto answer = report::ask_daemon(socket_, R"({"do":"status"})");
  if (!answer) return Failure{answer.error()};
  auto snapshot = report::parse_snapshot(*answer);
  if (snapshot) return snapshot;
  return Failure{"the daemon's answer is not understood (" + snapshot.error() +
                 "): it is starting, or of another version than this program"};
}

Result<std::string> ProofSession::configuration() const {
  const auto seen = snapshot();
  return seen ? Result<std::string>{seen->configuration_crc_32} : Failure{seen.error()};
}

std::optional<report::PumpStatus> ProofSession::look() const {
  const auto snapshot = this->snapshot();
  if (!snapshot) return std::nullopt;
  const auto found = std::ranges::find(snapshot->pumps, pump_, &report::PumpStatus::id);
  return found == snapshot->pumps.end() ? std::nullopt : std::optional{*found};
}

bool ProofSession::watch(Duration bound, const std::function<bool(const report::PumpStatus&)>& condition) {
  const Instant until = field::now() + bound;
  while (!is_lost()) {
    const auto pump = look();
    if (pump && condition(*pump)) return true;
    if (field::now() >= until) return false;
    std::this_thread::sleep_for(kLookEvery);
  }
  return false;
}

bool ProofSession::is_lost() const {
  const std::lock_guard lock{mutex_};
  return lost_;
}

}  // namespace stillwell::command
