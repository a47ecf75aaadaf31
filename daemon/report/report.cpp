#include "stillwell/report/report.hpp"

#include "stillwell/report/level_log.hpp"
#include "stillwell/report/mqtt.hpp"
#include "stillwell/report/notifier.hpp"
#include "stillwell/report/scribe.hpp"
#include "stillwell/report/snapshot.hpp"
#include "stillwell/report/socket.hpp"
#include "stillwell/report/wall_now.hpp"

#include <mutex>
#include <optional>
#include <utility>

namespace stillwell::report {

class Report::Impl {
 public:
  Impl(const config::Configuration& configuration, const ReportOptions& options, Ask ask)
      : model_{configuration.model},
        version_{options.version},
        checksum_{configuration.checksum},
        scribe_{{.journal = {.directory = options.state_directory},
                 .site = model_.id,
                 .seq_after = options.seq_after},
                [this](const Entry& entry) {
                  if (mqtt_) mqtt_->send(entry);
                  if (notifier_) notifier_->send(entry);
                }} {
    if (configuration.broker) {
      mqtt_.emplace(
          model_, *configuration.broker, version_,
          [this](Event event) { scribe_.tell(wall_now(), std::move(event)); },
          CommandWay{ask, options.trusted_wall},
          EventSource{options.state_directory, scribe_.newest_in_journal()});
    }
    if (configuration.notify) {
      notifier_.emplace(model_.id, *configuration.notify,
                        [this](Event event) { scribe_.tell(wall_now(), std::move(event)); });
    }
    if (configuration.log_levels)
      levels_.emplace(model_, LevelLogOptions{.directory = options.state_directory,
                                              .logging = *configuration.log_levels,
                                              .trusted_wall = options.trusted_wall});
    if (!options.socket.empty()) {
      socket_.emplace(options.socket, SocketHandlers{[this] { return status(); }, std::move(ask)});
    }
    scribe_.start();  // last: what it passes on needs everything above
  }
  ~Impl() {
    socket_.reset();
    if (notifier_) notifier_->end();  // it takes its time while the others take theirs
    scribe_.stop();                   // first: what it passes on is still sent
    mqtt_.reset();
    notifier_.reset();
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  void tell(const Outcome& outcome, Stamp wall, const ScanHealth& health) {
    for (const auto& event : outcome.events)
      scribe_.tell(wall, event);
    if (mqtt_) mqtt_->show(outcome.view);
    if (levels_) levels_->show(outcome.view, outcome.at);
    const std::scoped_lock lock{mutex_};
    latest_ = {outcome.at, outcome.view, wall, health};
    told_ = true;
  }

  void tell(Event event, Stamp wall) { scribe_.tell(wall, std::move(event)); }

  [[nodiscard]] bool broker_connected() const { return mqtt_ && mqtt_->connected(); }
  [[nodiscard]] std::uint64_t newest_seq() const { return scribe_.newest_seq(); }

 private:
  struct Latest {
    Instant at{};
    View view;
    Stamp wall{};
    ScanHealth health;
  };

  std::string status() {
    std::unique_lock lock{mutex_};
    if (!told_) return R"({"done":false,"text":"the first scan is not finished yet; ask again in a moment"})";
    const Latest latest = latest_;
    lock.unlock();
    Outcome outcome;
    outcome.at = latest.at;
    outcome.view = latest.view;
    const char* const broker = !mqtt_ ? "none" : mqtt_->connected() ? "connected" : "away";
    return to_json(snapshot(model_, outcome,
                            {.wall = latest.wall,
                             .version = version_,
                             .checksum = checksum_,
                             .broker = broker,
                             .recent = scribe_.recent(),
                             .health = latest.health}));
  }

  const Model model_;
  const std::string version_;
  const std::string checksum_;
  std::mutex mutex_;
  Latest latest_;  // of the last scan; with `told_` guarded by mutex_
  bool told_ = false;
  Scribe scribe_;
  std::optional<Mqtt> mqtt_;          // after the scribe: its thread may still have something to say
  std::optional<Notifier> notifier_;  // likewise
  std::optional<LevelLog> levels_;
  std::optional<Socket> socket_;
};

Report::Report(const config::Configuration& configuration, const ReportOptions& options, Ask ask)
    : impl_{std::make_unique<Impl>(configuration, options, std::move(ask))} {}
Report::~Report() = default;
void Report::tell(const Outcome& outcome, Stamp wall, const ScanHealth& health) {
  impl_->tell(outcome, wall, health);
}
void Report::tell(Event event, Stamp wall) {
  impl_->tell(std::move(event), wall);
}
bool Report::broker_connected() const {
  return impl_->broker_connected();
}
std::uint64_t Report::newest_seq() const {
  return impl_->newest_seq();
}

}  // namespace stillwell::report
