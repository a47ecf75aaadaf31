#include "stillwell/command/sounding_source.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/field.hpp"
#include "stillwell/field/serial.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/report/client.hpp"
#include "stillwell/report/snapshot.hpp"

#include <algorithm>
#include <map>
#include <thread>
#include <utility>

namespace stillwell::command {
namespace {

constexpr const char* kAskStatus = R"({"do":"status"})";

Result<report::Snapshot> snapshot_in(const std::string& answer, const std::filesystem::path& socket) {
  auto snapshot = report::parse_snapshot(answer);
  if (!snapshot)
    return Failure{"the daemon at " + socket.string() + " answered: " + answer +
                   "; is it of another version than this program?"};
  return snapshot;
}

GaugeSample sample_of(const report::GaugeStatus& status) {
  GaugeSample sample;
  sample.at = Instant{Duration{static_cast<Duration::rep>(status.monotonic_ns)}};
  if (status.reading_m) sample.value = Metres{*status.reading_m};
  if (status.air_degc) sample.air = Celsius{*status.air_degc};
  if (status.humidity_percent) sample.humidity = Percent{*status.humidity_percent};
  if (status.water_degc) sample.water = Celsius{*status.water_degc};
  for (const Reason reason : {Reason::none, Reason::no_answer, Reason::bad_frame})
    if (status.fault == to_word(reason)) sample.fault = reason;
  return sample;
}

class DaemonSource final : public SoundingSource {
 public:
  DaemonSource(std::filesystem::path socket, std::vector<std::string> ids, std::vector<std::string> lines)
      : socket_{std::move(socket)}, ids_{std::move(ids)}, lines_{std::move(lines)} {}

  Result<std::vector<GaugeSample>> newest() override {
    const auto answer = report::ask_daemon(socket_, kAskStatus);
    if (!answer) return Failure{answer.error()};
    const auto snapshot = snapshot_in(*answer, socket_);
    if (!snapshot) return Failure{snapshot.error()};
    last_ = *snapshot;
    std::vector<GaugeSample> samples;
    for (const std::string& id : ids_) {
      const auto found = std::ranges::find(last_.gauges, id, &report::GaugeStatus::id);
      samples.push_back(found == last_.gauges.end() ? GaugeSample{} : sample_of(*found));
    }
    return samples;
  }

  std::vector<std::string> troubles() override {
    std::vector<std::string> all;
    for (const report::LineStatus& line : last_.lines)
      if (line.trouble && std::ranges::find(lines_, line.id) != lines_.end())
        all.push_back("line " + line.id + ": " + *line.trouble);
    return all;
  }

 private:
  std::filesystem::path socket_;
  std::vector<std::string> ids_;
  std::vector<std::string> lines_;
  report::Snapshot last_;
};

/// What is needed of the wiring to read these gauges and nothing else: no switch, and no contact to write.
config::Wiring only(const config::Wiring& whole, const std::vector<GaugeIndex>& gauges) {
  config::Wiring part;
  part.scan = whole.scan;
  std::map<std::size_t, std::size_t> places;
  for (const GaugeIndex gauge : gauges) {
    config::GaugeWiring wired = whole.gauges[gauge.at];
    const auto [place, is_new] = places.emplace(wired.line.at, part.lines.size());
    if (is_new) part.lines.push_back(whole.lines[wired.line.at]);
    wired.line = {place->second};
    part.gauges.push_back(std::move(wired));
  }
  return part;
}

class LineSource final : public SoundingSource {
 public:
  explicit LineSource(config::Wiring wiring) : wiring_{std::move(wiring)}, field_{wiring_, [] {}} {
    field_.start();
    wait_until_tried();
  }

  Result<std::vector<GaugeSample>> newest() override { return field_.latest().gauges; }

  std::vector<std::string> troubles() override {
    const auto told = field_.troubles();
    std::vector<std::string> all;
    for (std::size_t at = 0; at < told.size(); ++at)
      if (!told[at].empty()) all.push_back("line " + wiring_.lines[at].id + ": " + told[at]);
    return all;
  }

 private:
  /// Each line is open or has said why not, so that a port that is not there is told at once.
  void wait_until_tried() {
    constexpr Duration kLook = std::chrono::milliseconds{10};
    const Instant give_up = field::now() + std::chrono::seconds{10};
    while (field::now() < give_up) {
      const auto lines = field_.latest().lines;
      const auto told = field_.troubles();
      std::size_t tried = 0;
      for (std::size_t at = 0; at < lines.size(); ++at)
        if (lines[at].open || !told[at].empty()) ++tried;
      if (tried == lines.size()) return;
      std::this_thread::sleep_for(kLook);
    }
  }

  config::Wiring wiring_;
  field::Field field_;
};

std::vector<std::string> ids_of(const config::Configuration& configuration,
                                const std::vector<GaugeIndex>& gauges) {
  std::vector<std::string> ids;
  ids.reserve(gauges.size());
  for (const GaugeIndex gauge : gauges)
    ids.push_back(configuration.model.gauges[gauge.at].id);
  return ids;
}

std::vector<std::string> lines_of(const config::Configuration& configuration,
                                  const std::vector<GaugeIndex>& gauges) {
  std::vector<std::string> ids;
  ids.reserve(gauges.size());
  for (const GaugeIndex gauge : gauges)
    ids.push_back(configuration.wiring.lines[configuration.wiring.gauges[gauge.at].line.at].id);
  return ids;
}

OpenedSource through_daemon(const config::Configuration& configuration, const std::filesystem::path& socket,
                            const std::vector<GaugeIndex>& gauges, const report::Snapshot& snapshot) {
  OpenedSource opened{.through_daemon = true};
  auto ids = ids_of(configuration, gauges);
  for (const std::string& id : ids) {
    if (std::ranges::find(snapshot.gauges, id, &report::GaugeStatus::id) != snapshot.gauges.end()) continue;
    opened.is_held = true;
    opened.why = "the daemon at " + socket.string() + " has no gauge " + id +
                 ", for it runs with another configuration; start it anew (systemctl restart stillwell), or "
                 "stop it and sound without it";
    return opened;
  }
  if (snapshot.configuration_crc_32 != configuration.checksum)
    opened.notes.push_back(
        "the daemon has read another version of the configuration than stands in the file: the readings are "
        "those of its gauges, corrections and limits those of the file");
  opened.source = std::make_unique<DaemonSource>(socket, std::move(ids), lines_of(configuration, gauges));
  return opened;
}

}  // namespace

OpenedSource open_source(const config::Configuration& configuration, const std::filesystem::path& socket,
                         const std::vector<GaugeIndex>& gauges) {
  const auto answer = report::ask_daemon(socket, kAskStatus);
  if (answer) {
    const auto snapshot = snapshot_in(*answer, socket);
    if (!snapshot) return {.through_daemon = true, .why = snapshot.error()};
    return through_daemon(configuration, socket, gauges, *snapshot);
  }
  config::Wiring wiring = only(configuration.wiring, gauges);
  for (const config::LineWiring& line : wiring.lines) {
    if (!field::is_held(line)) continue;
    return {.is_held = true,
            .why = "line " + line.id + " (" + line.port +
                   ") is held by another program, and no daemon answers through which it could be read: " +
                   answer.error()};
  }
  const std::size_t lines = wiring.lines.size();
  auto source = std::make_unique<LineSource>(std::move(wiring));
  const auto troubles = source->troubles();
  if (troubles.size() == lines) return {.why = listed(troubles)};
  return {.source = std::move(source)};
}

}  // namespace stillwell::command
