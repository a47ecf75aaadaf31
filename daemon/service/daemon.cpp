#include "stillwell/service/daemon.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/report/report.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/inbox.hpp"
#include "stillwell/service/lock.hpp"
#include "stillwell/service/logging.hpp"
#include "stillwell/service/scan_loop.hpp"
#include "stillwell/service/wall_clock.hpp"

#include <csignal>
#include <ctime>
#include <exception>
#include <ostream>

#include <pthread.h>
#include <spdlog/spdlog.h>
#include <systemd/sd-daemon.h>

namespace stillwell::service {
namespace {

/// How long contacts get to be confirmed off at the end; within TimeoutStopSec of the unit with the rest.
constexpr Duration kReleaseLimit = std::chrono::seconds{4};
/// How long a person waits for the answer to a command; a command is solved when it arrives.
constexpr Duration kAnswerWithin = std::chrono::seconds{5};
/// A line thread or the scan that has not moved for so long is stuck: longer than any single wait of theirs.
constexpr Duration kStuckAfter = std::chrono::seconds{10};

sigset_t end_signals() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGTERM);
  sigaddset(&set, SIGINT);
  return set;
}

/// Every thread started later inherits the mask, so that only the supervisor sees the signals.
void keep_signals_for_supervisor() {
  const sigset_t set = end_signals();
  pthread_sigmask(SIG_BLOCK, &set, nullptr);
  std::signal(SIGPIPE, SIG_IGN);  // NOLINT(cert-err33-c): SIG_IGN cannot fail for SIGPIPE
}

std::optional<config::Configuration> load(const std::filesystem::path& file, std::ostream& err) {
  config::Loaded loaded = config::load(file);
  for (const config::Problem& problem : loaded.problems)
    err << problem.to_text() << '\n';
  if (!loaded.configuration) err << "stillwell: the configuration has errors; nothing was started\n";
  return std::move(loaded.configuration);
}

/// Says whether every essential thread has moved lately. The network's thread is not essential.
class Watch {
 public:
  bool all_move(const field::Field& field, const report::ScanHealth& health, Instant now) {
    auto beats = field.heartbeats();
    beats.push_back(health.scans);
    moved_.resize(beats.size(), now);
    last_.resize(beats.size());
    bool all = true;
    for (std::size_t at = 0; at < beats.size(); ++at) {
      if (beats[at] != last_[at]) moved_[at] = now;
      last_[at] = beats[at];
      all = all && now - moved_[at] < kStuckAfter;
    }
    return all;
  }

 private:
  std::vector<std::uint64_t> last_;
  std::vector<Instant> moved_;
};

/// Waits for a signal, feeding the service manager's watchdog meanwhile. True when asked to end, false when
/// the scan failed.
bool supervise(const ScanLoop& loop, const field::Field& field) {
  const sigset_t set = end_signals();
  Watch watch;
  bool ready = false;
  while (loop.is_well()) {
    const timespec second{.tv_sec = 1, .tv_nsec = 0};
    if (sigtimedwait(&set, nullptr, &second) > 0) return true;
    if (!ready && loop.health().scans > 0) {
      ready = true;
      sd_notify(0, "READY=1\nSTATUS=The rules are being solved.");
    }
    if (watch.all_move(field, loop.health(), field::now())) sd_notify(0, "WATCHDOG=1");
  }
  return false;
}

int serve(const DaemonOptions& options, const config::Configuration& configuration) {
  Bell bell;
  Inbox inbox{bell};
  report::Report report{
      configuration,
      {.state_directory = options.state_directory, .socket = options.socket, .version = options.version},
      [&](Command command) { return inbox.ask(std::move(command), kAnswerWithin); }};
  field::Field field{configuration.wiring, [&bell] { bell.ring(); }};
  ScanLoop loop{{.model = configuration.model,
                 .field = field,
                 .inbox = inbox,
                 .bell = bell,
                 .tell = [&](const Outcome& outcome) { report.tell(outcome, wall_now(), loop.health()); },
                 .minute_of_day = [newest = std::optional<Stamp>{}] { return minute_of_day(newest); }}};
  field.start();
  loop.start();
  spdlog::info("{} is running: {} tanks, {} pumps", configuration.model.id, configuration.model.tanks.size(),
               configuration.model.pumps.size());

  const bool in_order = supervise(loop, field);
  sd_notify(0, "STOPPING=1\nSTATUS=Contacts off, then the rest.");
  loop.stop();
  const bool confirmed = field.release(kReleaseLimit);
  if (!confirmed) spdlog::critical("a contact could not be confirmed off: treat its pump as live");
  return in_order && confirmed ? kDone : kAttention;
}

}  // namespace

int run(const DaemonOptions& options, std::ostream& err) try {
  const auto configuration = load(options.configuration, err);
  if (!configuration) return kUsage;
  const auto lock = lock_state(options.state_directory);
  if (!lock) {
    err << "stillwell: " << lock.error() << '\n';
    return kUnreachable;
  }
  keep_signals_for_supervisor();
  set_up_logging();
  use_timezone(configuration->timezone);
  const int code = serve(options, *configuration);
  spdlog::shutdown();
  return code;
} catch (const std::exception& fault) {
  err << "stillwell: " << fault.what() << '\n';
  return kUnreachable;
}

int release(const DaemonOptions& options, std::ostream& out, std::ostream& err) {
  const auto configuration = load(options.configuration, err);
  if (!configuration) return kUsage;
  const auto lock = lock_state(options.state_directory);
  if (!lock) {
    err << "stillwell: " << lock.error() << '\n';
    return kRefused;
  }
  field::Field field{configuration->wiring, [] {}};
  field.start();
  if (field.release(kReleaseLimit)) {
    out << "every contact is confirmed off\n";
    return kDone;
  }
  const Readings readings = field.latest();
  for (std::size_t at = 0; at < readings.contacts.size(); ++at) {
    const auto& on = readings.contacts[at].on;
    if (!on || *on)
      err << configuration->wiring.contacts[at].id << " is NOT confirmed off: treat its pump as live\n";
  }
  return kUnreachable;
}

}  // namespace stillwell::service
