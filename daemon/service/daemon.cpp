#include "stillwell/service/daemon.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/report/report.hpp"
#include "stillwell/report/state_file.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/inbox.hpp"
#include "stillwell/service/keeper.hpp"
#include "stillwell/service/line_watch.hpp"
#include "stillwell/service/lock.hpp"
#include "stillwell/service/logging.hpp"
#include "stillwell/service/release.hpp"
#include "stillwell/service/scan_loop.hpp"
#include "stillwell/service/thread_watch.hpp"
#include "stillwell/service/wall_clock.hpp"
#include "stillwell/site/observe.hpp"

#include <algorithm>
#include <atomic>
#include <csignal>
#include <ctime>
#include <exception>
#include <mutex>
#include <ostream>
#include <utility>

#include <pthread.h>
#include <spdlog/spdlog.h>
#include <systemd/sd-daemon.h>

namespace stillwell::service {
namespace {

/// How long a person waits for the answer to a command; a command is solved when it arrives.
constexpr Duration kAnswerWithin = std::chrono::seconds{5};

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

Event about_us(const Model& model, std::string cause, std::string text) {
  return {.kind = EventKind::service, .of = model.id, .cause = std::move(cause), .text = std::move(text)};
}

/// What a lost state means for the people of the site (rule 23).
std::string loss_text(const std::string& loss) {
  return "What the last run knew is lost: " + loss +
         ". Every pump is off; look at the site, then set each to `mode PUMP auto`.";
}

/// Everything that the daemon consists of, in the order in which it must come and go.
class Daemon {
 public:
  Daemon(const DaemonOptions& options, const config::Configuration& configuration)
      : options_{options}, configuration_{configuration} {}

  int serve() {
    report_.tell(
        about_us(model(), "started", "stillwell " + options_.version + " started." + observing_text()),
        wall_now());
    if (options_.observe) spdlog::warn("{}:{}", model().id, observing_text());
    if (!found_.loss.empty()) {
      spdlog::critical("{}", loss_text(found_.loss));
      report_.tell(about_us(model(), "state-file", loss_text(found_.loss)), wall_now());
    }
    if (!renamed_.empty()) report_.tell(about_us(model(), "pump-renamed", renamed_), wall_now());
    field_.start();
    loop_.start();
    spdlog::info("{} is running: tanks {}, pumps {}", model().id, model().tanks.size(), model().pumps.size());
    const bool in_order = supervise();
    spdlog::info("stopping: every contact off, then the rest");
    sd_notify(0, "STOPPING=1\nSTATUS=Contacts off, then the rest.");
    loop_.stop();
    inbox_.close();
    const bool confirmed = field_.release(kReleaseLimit);
    if (!confirmed) tell_unconfirmed();
    report_.tell(about_us(model(), "stopped", "stillwell stopped."), wall_now());
    return in_order && confirmed ? kDone : kAttention;
  }

 private:
  [[nodiscard]] const Model& model() const { return configuration_.model; }

  [[nodiscard]] std::optional<Stamp> newest_known() const {
    return found_.kept ? found_.kept->at : std::nullopt;
  }

  [[nodiscard]] std::string observing_text() const {
    return options_.observe ? " It only observes: every contact is held off, and nothing is kept." : "";
  }

  Answer ask(Command command) {
    Answer answer = inbox_.ask(std::move(command), kAnswerWithin);
    if (options_.observe) return answer;  // nothing waits for a disk
    if (answer.done && !keeper_.settle(kAnswerWithin)) {
      answer.text += "; but it could not be written to the disk and is lost when the daemon ends";
    }
    return answer;
  }

  /// Since the state was written: exactly, in the same run of the computer, and else by a clock that somebody
  /// keeps right. One that goes on from where a power cut stopped it makes a night of half a minute.
  [[nodiscard]] std::optional<Duration> away() const {
    const Kept& kept = *found_.kept;
    if (kept.since && !kept.boot.empty() && kept.boot == boot_id() && field::now() >= *kept.since)
      return field::now() - *kept.since;
    if (!kept.written || !is_synchronised() || wall_now() <= *kept.written) return {};
    return wall_now() - *kept.written;
  }

  Memory remembered() {
    Memory memory = remember_nothing(model());
    if (options_.observe) return memory;
    if (found_.kept) {
      restore(model(), *found_.kept, memory, field::now(), away());
      mind_renamed(memory);
    }
    if (!found_.loss.empty()) distrust(model(), memory, field::now());
    // Written before the journal is opened: from then on a missing state file is a loss, not a first start.
    const Instant now = field::now();
    keeper_.keep(keep(model(), memory, now), now);
    // The refusal itself is told as a trouble of its own.
    if (!keeper_.settle(kAnswerWithin)) spend_starts(model(), memory, now);
    return memory;
  }

  /// A pump that was held and is no longer named may be one of those that are new.
  void mind_renamed(Memory& memory) {
    const auto gone = heirless(model(), *found_.kept);
    if (gone.empty()) return;
    const auto off = switch_off_newcomers(model(), *found_.kept, memory);
    if (off.empty()) return;
    renamed_ = "Held when the daemon ended, and no longer configured: " + listed(gone) +
               ". In case one was renamed, those that are new begin off: " + listed(off) +
               ". Look at them, then set each to `mode PUMP auto`.";
  }

  /// What was never switched has no counters, and a memory without them must not pass for the site's.
  void keep_unless_observing(Kept kept, Instant as_of) {
    if (!options_.observe) keeper_.keep(std::move(kept), as_of);
  }

  /// On the keeper's thread. The stamp never goes back, or a clock that starts at its epoch would be trusted
  /// at the start after the next.
  [[nodiscard]] std::optional<std::string> save(Kept kept) const {
    kept.at = wall_now();
    kept.written.reset();
    if (is_synchronised()) kept.written = kept.at;
    kept.boot = boot_id();
    kept.since = field::now();
    kept.seq = seq_;
    if (found_.kept && found_.kept->at) kept.at = std::max(*kept.at, *found_.kept->at);
    const auto failure = report::save_state(options_.state_directory, kept);
    return failure ? std::optional{failure->text} : std::nullopt;
  }

  void tell_disk(const std::string& trouble) {
    const std::string text = trouble.empty()
                                 ? "The state is written to the disk again."
                                 : "The state cannot be written and would be lost now: " + trouble;
    spdlog::warn("{}", text);
    const std::lock_guard lock{troubles_mutex_};
    disk_story_.push_back(about_us(model(), "state-file", text));
  }

  /// Waits for a signal, feeding the service manager's watchdog meanwhile. True when asked to end, false when
  /// the scan failed.
  bool supervise() {
    const sigset_t set = end_signals();
    const timespec second{.tv_sec = 1, .tv_nsec = 0};
    bool ready = false;
    while (loop_.is_well()) {
      if (sigtimedwait(&set, nullptr, &second) > 0) return true;
      if (!ready && loop_.health().scans > 0) {
        ready = true;
        sd_notify(0, "READY=1\nSTATUS=The rules are being solved.");
      }
      tell_troubles();
      if (watch_.all_move(field_.heartbeats(), loop_.health(), field::now())) sd_notify(0, "WATCHDOG=1");
    }
    return false;
  }

  void hand_to_report(const Outcome& outcome) {
    report_.tell(outcome, wall_now(), loop_.health());
    seq_ = report_.newest_seq();
  }

  void tell_troubles() {
    for (Event& event : lines_.changes(model(), field_.troubles())) {
      spdlog::warn("{}", event.text);
      report_.tell(std::move(event), wall_now());
    }
    const std::lock_guard lock{troubles_mutex_};
    for (Event& event : std::exchange(disk_story_, {}))
      report_.tell(std::move(event), wall_now());
  }

  void tell_unconfirmed() {
    for (const std::string& id : unconfirmed(configuration_.wiring, field_)) {
      const std::string text = "contact " + id + " is not confirmed off: treat its pump as live.";
      spdlog::critical("{}", text);
      report_.tell({.kind = EventKind::service, .of = id, .cause = "contact-unreachable", .text = text},
                   wall_now());
    }
  }

  const DaemonOptions& options_;
  const config::Configuration& configuration_;
  report::FoundState found_ =
      options_.observe ? report::FoundState{} : report::load_state(options_.state_directory);
  std::mutex troubles_mutex_;
  std::vector<Event> disk_story_;  ///< from the keeper's thread to the supervisor
  Bell bell_;
  Keeper keeper_{{.save = [this](const Kept& kept) { return save(kept); },
                  .tell = [this](const std::string& trouble) { tell_disk(trouble); },
                  .saved = [this] { bell_.ring(); }}};
  Inbox inbox_{bell_};
  std::string renamed_;  ///< told once there is a journal
  std::atomic<std::uint64_t> seq_{found_.kept ? found_.kept->seq : 0};
  Memory memory_ = remembered();
  report::Report report_{configuration_,
                         {.state_directory = options_.state_directory,
                          .socket = options_.socket,
                          .version = options_.version,
                          .seq_after = seq_,
                          .trusted_wall = [this] { return trusted_now(newest_known()); }},
                         [this](Command command) { return ask(std::move(command)); }};
  field::Field field_{configuration_.wiring, [this] { bell_.ring(); }};
  ScanLoop loop_{{.model = configuration_.model,
                  .field = field_,
                  .inbox = inbox_,
                  .bell = bell_,
                  .keep = [this](Kept kept, Instant as_of) { keep_unless_observing(std::move(kept), as_of); },
                  .tell = [this](const Outcome& outcome) { hand_to_report(outcome); },
                  .wall = [this] { return trusted_now(newest_known()); },
                  .is_kept = [this](Instant now) { return options_.observe || keeper_.is_well(now); },
                  .durable = [this] { return options_.observe ? field::now() : keeper_.durable(); },
                  .observing = options_.observe},
                 memory_};
  ThreadWatch watch_{configuration_.model.scan};
  LineWatch lines_;
};

}  // namespace

int run(const DaemonOptions& given, std::ostream& err) try {
  auto configuration = load_configuration(given.configuration, err);
  if (!configuration) return kUsage;
  const LockTry held = lock_state(given.state_directory);
  if (!held.lock) {
    err << "stillwell: " << held.why << '\n';
    return kUnreachable;
  }
  DaemonOptions options = given;
  if (options.observe) {
    configuration->model = to_observe(std::move(configuration->model));
    // A journal beside no state file would look like a state that was lost (rule 23).
    options.state_directory /= "observed";
    std::filesystem::create_directory(options.state_directory);
  }
  keep_signals_for_supervisor();
  set_up_logging();
  use_timezone(configuration->timezone);
  if (const auto failure = options.observe ? std::nullopt : keep_copy(options, configuration->checksum))
    spdlog::warn("no copy of the configuration for `release`: {}", failure->text);
  const int code = Daemon{options, *configuration}.serve();
  spdlog::shutdown();
  return code;
} catch (const std::exception& fault) {
  err << "stillwell: " << fault.what() << '\n';
  return kUnreachable;
}

}  // namespace stillwell::service
