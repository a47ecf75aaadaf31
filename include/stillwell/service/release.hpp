#pragma once
// Every contact off, by whoever holds the lines: a living daemon is asked, and latches every pump off until a
// person resets it; without one the lines are taken and written here (rule 19).

#include "stillwell/config/configuration.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/service/daemon.hpp"

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::service {

/// How long contacts get to be confirmed off; within TimeoutStopSec of the unit with the rest.
inline constexpr Duration kReleaseLimit = std::chrono::seconds{4};

enum class Caller : std::uint8_t {
  person,
  /// The service manager, after its daemon has ended: who holds the lock then is another one, and is not
  /// disturbed.
  service_manager,
};

/// From the environment: systemd tells its stop commands how the service ended (systemd.exec(5),
/// $SERVICE_RESULT).
Caller caller_of_this_program();

/// Exit code: 0 all confirmed off, 2 configuration, 3 some contact unconfirmed or the daemon not reached, 4
/// refused.
int release(const DaemonOptions& options, Caller caller, std::ostream& out, std::ostream& err);

/// The contacts that are not confirmed to be off.
std::vector<std::string> unconfirmed(const config::Wiring& wiring, const field::Field& field);

/// Keeps a copy of the configuration beside the state, so that whoever releases what it switched on needs no
/// other, however that was changed or broken meanwhile (rule 19). `checksum`: of what was read. The failure
/// says why it could not.
std::optional<Failure> keep_copy(const DaemonOptions& options, const std::string& checksum);

/// Every problem is printed; empty when it has errors.
std::optional<config::Configuration> load_configuration(const std::filesystem::path& file, std::ostream& err);

}  // namespace stillwell::service
