#include "stillwell/command/sound.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/sounded.hpp"
#include "stillwell/command/sounding_source.hpp"
#include "stillwell/config/near_miss.hpp"
#include "stillwell/field/clock.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <algorithm>
#include <ostream>
#include <thread>

namespace stillwell::command {
namespace {

constexpr Duration kShortestRun = std::chrono::seconds{1};
constexpr Duration kLongestRun = std::chrono::hours{1};

Result<GaugeIndex> gauge_named(const Model& model, const std::string& id) {
  std::vector<std::string_view> ids;
  for (std::size_t at = 0; at < model.gauges.size(); ++at) {
    if (model.gauges[at].id == id) return GaugeIndex{at};
    ids.push_back(model.gauges[at].id);
  }
  return Failure{"there is no gauge '" + id + "'; " + config::suggestion(id, ids)};
}

Result<std::vector<GaugeIndex>> gauges_named(const Model& model, const std::vector<std::string>& ids) {
  std::vector<GaugeIndex> gauges;
  for (const std::string& id : ids) {
    const auto gauge = gauge_named(model, id);
    if (!gauge) return Failure{gauge.error()};
    if (std::ranges::find(gauges, *gauge) != gauges.end())
      return Failure{"gauge '" + id + "' is named twice"};
    gauges.push_back(*gauge);
  }
  return gauges;
}

Result<Duration> run_length(const std::string& text) {
  auto length = parse_duration(text);
  if (!length) return Failure{"--for: " + length.error()};
  if (*length < kShortestRun || *length > kLongestRun)
    return Failure{"--for: expected " + to_text(kShortestRun) + " to " + to_text(kLongestRun)};
  return length;
}

/// Several looks between two soundings, so that none is overwritten unseen.
Duration look_every(const config::Wiring& wiring, const std::vector<GaugeIndex>& gauges) {
  constexpr Duration kShortest = std::chrono::milliseconds{20};
  constexpr Duration kLongest = std::chrono::milliseconds{250};
  Duration soonest = kLongest;
  for (const GaugeIndex gauge : gauges)
    soonest = std::min(soonest, wiring.gauges[gauge.at].every / 4);
  return std::max(soonest, kShortest);
}

std::string progress_text(const std::vector<Sounded>& sounded, const Model& model, Duration left) {
  std::string text = to_text(std::chrono::ceil<std::chrono::seconds>(left)) + " left:";
  for (const Sounded& one : sounded)
    text += " " + model.gauges[one.gauge().at].id + " " + std::to_string(one.soundings().size());
  return text;
}

struct SoundJob {
  const config::Configuration& configuration;
  std::vector<GaugeIndex> gauges;
  Duration length{};
};

/// Takes soundings until the time is over. The failure: the source died.
Result<std::vector<Sounded>> take_soundings(const SoundJob& job, SoundingSource& source, std::ostream& err) {
  Progress progress{err, stderr_is_terminal()};
  const Instant begun = field::now();
  const Instant until = begun + job.length;
  const Duration pause = look_every(job.configuration.wiring, job.gauges);
  std::vector<Sounded> sounded;
  for (const GaugeIndex gauge : job.gauges)
    sounded.emplace_back(
        gauge, job.configuration.model.gauges[gauge.at].rules,
        SoundingRun{.begun = begun, .every = job.configuration.wiring.gauges[gauge.at].every});
  for (Instant now = begun; now < until; now = field::now()) {
    const auto samples = source.newest();
    if (!samples) return Failure{samples.error()};
    for (std::size_t at = 0; at < sounded.size() && at < samples->size(); ++at)
      sounded[at].take((*samples)[at]);
    progress.show(progress_text(sounded, job.configuration.model, until - now));
    std::this_thread::sleep_for(std::min(pause, until - now));
  }
  for (Sounded& one : sounded)
    one.end(field::now());
  return sounded;
}

SoundedResult result_of(const Sounded& sounded, const Model& model, const SoundRequest& request) {
  SoundedResult result{.gauge = model.gauges[sounded.gauge().at].id,
                       .figures = sounded.figures(),
                       .faults = sounded.faults(),
                       .unsteady = {},
                       .doubt = sounded.doubt(),
                       .proposal = {}};
  result.unsteady = unsteady(result.figures, sounded.noise());
  if (request.empty || request.full)
    result.proposal =
        config::propose(model, sounded.gauge(), request.empty ? config::Stand::empty : config::Stand::full,
                        result.figures, result.doubt);
  return result;
}

int exit_code_of(const SoundedRun& run) {
  const auto heard = [](const SoundedResult& result) { return result.figures.count > 0; };
  if (std::ranges::none_of(run.results, heard)) return service::kUnreachable;
  return std::ranges::all_of(run.results, &SoundedResult::is_fine) ? service::kDone : service::kAttention;
}

void warn_of(const std::vector<std::string>& sentences, std::ostream& err) {
  for (const std::string& sentence : sentences)
    err << "stillwell: " << sentence << '\n';
}

int sound_from(const SoundJob& job, const SoundRequest& request, OpenedSource& opened, std::ostream& out,
               std::ostream& err) {
  const auto sounded = take_soundings(job, *opened.source, err);
  if (!sounded) {
    warn_of({sounded.error()}, err);
    return service::kUnreachable;
  }
  SoundedRun run{.lasted = job.length, .through_daemon = opened.through_daemon, .results = {}};
  for (const Sounded& one : *sounded)
    run.results.push_back(result_of(one, job.configuration.model, request));
  warn_of(opened.notes, err);
  warn_of(opened.source->troubles(), err);
  if (request.json) {
    print_json(run, out);
  } else {
    print_text(run, terminal_of_stdout().unicode, out);
  }
  return exit_code_of(run);
}

}  // namespace

int sound(const SoundRequest& request, std::ostream& out, std::ostream& err) {
  const auto refuse = [&err](const std::string& text, int code) {
    err << "stillwell: " << text << '\n';
    return code;
  };
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  const auto gauges = gauges_named(configuration->model, request.gauges);
  if (!gauges) return refuse(gauges.error(), service::kUsage);
  const auto length = run_length(request.lasts);
  if (!length) return refuse(length.error(), service::kUsage);
  OpenedSource opened = open_source(*configuration, request.socket, *gauges);
  if (!opened.source) return refuse(opened.why, opened.is_held ? service::kRefused : service::kUnreachable);
  return sound_from({*configuration, *gauges, *length}, request, opened, out, err);
}

}  // namespace stillwell::command
