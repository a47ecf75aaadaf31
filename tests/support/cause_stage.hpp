#pragma once
// One cause of the cause table, brought about on real bytes: what happens on the simulated wire stops a
// running pump or holds a start, the coil in the module is off, and what is told names that cause and no
// other.
#include "stillwell/config/configuration.hpp"
#include "stillwell/pump/causes.hpp"

#include <string>
#include <vector>

#include "support/gateway.hpp"

namespace support {

/// `plant …`: an order to the simulated orchard. `stillwell …`: a command that must be obeyed. `await STATE`:
/// of the pump; `await PUMP STATE`: of another. `await-start`: in the journal, for a run too short to be
/// seen. `await-level PERCENT`: the header is seen above it.
using Steps = std::vector<std::string>;

enum class Ends { run, wait };  ///< it stops a running pump, or holds a start

struct CauseCase {
  stillwell::Cause cause;
  std::string pump;
  Ends ends;
  Steps before;  ///< up to where the pump runs, or would start
  Steps bring;   ///< the cause
  Steps heal;    ///< so that the next case finds nothing of it
};

class CauseStage {
 public:
  /// `pumps`: all of the gateway's, in the order of its configuration. Switches them off, so that a case is
  /// about its own.
  CauseStage(Gateway& gateway, std::vector<std::string> pumps);

  void play(const CauseCase& one);
  void take(const Steps& steps, const std::string& pump);

  [[nodiscard]] bool becomes(const std::string& pump, const std::string& field,
                             const std::string& wanted) const;
  /// What the simulated module's relay really is.
  [[nodiscard]] bool coil(const std::string& contact);
  /// Whether the simulated motor really turns.
  [[nodiscard]] bool turns(const std::string& pump);

 private:
  [[nodiscard]] stillwell::Duration stated(const CauseCase& one) const;
  void take_one(const std::string& step, const std::string& pump);
  void expect_stopped(const CauseCase& one, const std::string& first_out_before);
  void expect_held(const CauseCase& one);
  void clear_away(const CauseCase& one);
  [[nodiscard]] std::string of(const std::string& pump, const std::string& field) const;
  [[nodiscard]] std::string truth();
  [[nodiscard]] std::size_t starts(const std::string& pump) const;
  [[nodiscard]] std::vector<std::string> endings(const std::string& pump) const;

  Gateway& gateway_;
  stillwell::config::Configuration configuration_;
  std::vector<std::string> pumps_;
  std::size_t told_ = 0;   ///< lines of the journal about the pump when its cause was brought about
  std::size_t begun_ = 0;  ///< starts when the case began
};

}  // namespace support
