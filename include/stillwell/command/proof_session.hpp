#pragma once
// The proof test's line to the daemon: commands, looks, and the lease that a thread renews for as long as
// this program lives.

#include "stillwell/quantity/result.hpp"
#include "stillwell/report/snapshot.hpp"

#include <condition_variable>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

namespace stillwell::command {

class ProofSession {
 public:
  ProofSession(std::filesystem::path socket, std::string pump);
  ~ProofSession();  ///< ends the proof, if it still stands
  ProofSession(const ProofSession&) = delete;
  ProofSession& operator=(const ProofSession&) = delete;

  /// What the daemon said to a command.
  struct Said {
    bool reached = false;
    bool done = false;
    std::string text;
  };
  Said begin();
  Said step(const std::string& step);
  Said mode(const std::string& mode);  ///< hand or off, as a step of the proof
  Said reset();
  /// Ends the proof; the text says how the pump is put back.
  Said end();

  /// The checksum of the configuration that the daemon runs; the failure says why it is not known.
  [[nodiscard]] Result<std::string> configuration() const;
  /// The pump as the daemon sees it now; empty when it cannot be reached or has no such pump.
  [[nodiscard]] std::optional<report::PumpStatus> look() const;
  /// Looks until the condition holds. False when the time is over, or the lease is lost.
  bool watch(Duration bound, const std::function<bool(const report::PumpStatus&)>& condition);
  /// The lease ran out, or somebody ended it: nothing may be switched any more.
  [[nodiscard]] bool is_lost() const;

 private:
  [[nodiscard]] Result<report::Snapshot> snapshot() const;
  Said ask(const std::string& verb, const std::string& target, const std::string& argument) const;
  void renew();

  std::filesystem::path socket_;
  std::string pump_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool stands_ = false;
  bool lost_ = false;
  std::thread thread_;
};

}  // namespace stillwell::command
