#include "stillwell/command/rehearse.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/progress.hpp"
#include "stillwell/command/rehearsal_chart.hpp"
#include "stillwell/command/rehearsal_story.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/rehearsal/plant_stand_in.hpp"
#include "stillwell/rehearsal/record_stand_in.hpp"
#include "stillwell/rehearsal/scenario_file.hpp"
#include "stillwell/rehearsal/trace.hpp"
#include "stillwell/report/level_rows.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/wall_clock.hpp"
#include "stillwell/site/words.hpp"

#include <chrono>
#include <cmath>
#include <fstream>
#include <memory>
#include <ostream>
#include <sstream>
#include <stdexcept>

namespace stillwell::command {
namespace {

using namespace std::chrono_literals;
using rehearsal::Scanned;

constexpr Duration kUsualLength = 24h;
/// Flows change slowly; the pumps are looked at with every scan in any case.
constexpr Duration kLongestStep = 1s;
/// Of the drawing: one for a dot of its width.
constexpr std::size_t kPieces = 1000;

/// What is wrong, for a person; it ends the command.
struct Wrong : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Where results go that are not printed; "-" is out.
class Target {
 public:
  Target(const std::string& file, std::ostream& out) : name_{file}, out_{file == "-" ? &out : &file_} {
    if (file == "-") return;
    file_.open(file, std::ios::binary | std::ios::trunc);
    check();
  }
  std::ostream& stream() { return *out_; }
  void finish() {
    if (out_ == &file_) file_.close();
    check();
  }

 private:
  void check() const {
    if (!*out_) throw Wrong{name_ + " cannot be written; check its folder, its mode and the disk"};
  }

  std::string name_;
  std::ofstream file_;
  std::ostream* out_;
};

template <class Value>
Value value_or_wrong(const Result<Value>& result, const std::string& what) {
  if (!result) throw Wrong{what + ": " + result.error()};
  return *result;
}

/// The stand-in, and what the command must know of it beyond its readings.
struct Wires {
  std::unique_ptr<std::ifstream> file;
  std::unique_ptr<rehearsal::PlantStandIn> plant;
  std::unique_ptr<rehearsal::RecordStandIn> record;
  std::optional<Duration> lasts;  ///< of a recording

  rehearsal::StandIn& stand_in() const {
    if (plant) return *plant;
    return *record;
  }
};

/// How long a recording is, by its last row: looked for once, so that progress can be told.
Duration length_of(const std::filesystem::path& file, const Model& model) {
  std::ifstream stream{file, std::ios::binary};
  auto record = value_or_wrong(rehearsal::Record::open(stream, model), file.string());
  Duration last{0};
  while (const auto row = value_or_wrong(record.next(), file.string()))
    last = row->at;
  return last;
}

Wires recorded(const RehearseRequest& request, const config::Configuration& configuration) {
  Wires wires;
  wires.lasts = length_of(request.scenario, configuration.model) + configuration.model.scan;
  wires.file = std::make_unique<std::ifstream>(request.scenario, std::ios::binary);
  auto record =
      value_or_wrong(rehearsal::Record::open(*wires.file, configuration.model), request.scenario.string());
  std::vector<Duration> every;
  for (const config::GaugeWiring& gauge : configuration.wiring.gauges)
    every.push_back(gauge.every);
  wires.record = std::make_unique<rehearsal::RecordStandIn>(std::move(record), configuration.model, every);
  return wires;
}

Wires simulated(const RehearseRequest& request, const config::Configuration& configuration,
                std::ostream& err) {
  auto loaded = rehearsal::load_scenario(request.scenario, configuration.model);
  for (const config::Problem& problem : loaded.problems)
    err << problem.to_text() << '\n';
  if (!loaded.scenario) throw Wrong{request.scenario.string() + " is refused; mend what is told above"};
  Wires wires;
  wires.plant = std::make_unique<rehearsal::PlantStandIn>(
      configuration.wiring, plant::Plant{configuration.model, std::move(*loaded.scenario),
                                         std::min(kLongestStep, configuration.model.scan)});
  return wires;
}

Duration length_asked(const RehearseRequest& request, const Wires& wires) {
  const Duration whole = wires.lasts.value_or(kUsualLength);
  if (request.lasts.empty()) return whole;
  const Duration asked = value_or_wrong(parse_duration(request.lasts), "--for");
  if (asked <= 0s) throw Wrong{"--for: expected more than nothing"};
  return wires.lasts ? std::min(asked, whole) : asked;
}

Stamp beginning(const RehearseRequest& request, const Wires& wires) {
  if (wires.record && wires.record->begins()) return *wires.record->begins();
  const auto stamp = parse_stamp(request.begins);
  if (!stamp) throw Wrong{"--begins: expected a time in UTC, as 2026-03-01T00:00:00.000Z"};
  return *stamp;
}

/// Looks at the clock now and then, and tells how much is done and how long the rest takes at this pace.
class Pace {
 public:
  explicit Pace(Progress& progress) : progress_{progress} {}

  void at(double share) {
    constexpr unsigned kCallsForALook = 1024;
    if (++calls_ % kCallsForALook != 0 || share <= 0.0) return;
    const auto now = Clock::now();
    if (now - told_ < 200ms) return;
    told_ = now;
    const std::chrono::duration<double> spent = now - begun_;
    const std::chrono::seconds left{std::lround(spent.count() * (1.0 - share) / share)};
    progress_.show("rehearsed " + fixed(share * 100.0, 0) + " %, " + to_text(Duration{left}) + " left");
  }

 private:
  using Clock = std::chrono::steady_clock;

  Progress& progress_;
  Clock::time_point begun_ = Clock::now();
  Clock::time_point told_ = begun_;
  unsigned calls_ = 0;
};

class Rehearsing {
 public:
  Rehearsing(const RehearseRequest& request, const config::Configuration& configuration, std::ostream& out,
             std::ostream& err)
      : request_{request}, configuration_{configuration}, out_{out}, err_{err} {}

  int run() {
    const std::string before = earlier();
    const bool is_record = request_.scenario.extension() == ".csv";
    Wires wires = is_record ? recorded(request_, configuration_) : simulated(request_, configuration_, err_);
    tell_silent(wires);
    service::use_timezone(configuration_.timezone);
    const rehearsal::Plan plan{.begins = beginning(request_, wires),
                               .lasts = length_asked(request_, wires),
                               .to_local = service::to_local};
    RehearsalStory story = play(wires, plan);
    if (wires.record && !wires.record->failure().empty())
      throw Wrong{request_.scenario.string() + ": " + wires.record->failure()};
    const std::string told = story_json(story);
    if (!prints_a_file()) out_ << (request_.json ? told : story_text(story));
    return request_.against.empty() ? service::kDone : compare(before, told);
  }

 private:
  [[nodiscard]] const Model& model() const { return configuration_.model; }
  [[nodiscard]] bool prints_a_file() const { return request_.csv == "-" || request_.svg == "-"; }

  void tell_silent(const Wires& wires) {
    if (!wires.record) return;
    for (const std::string& id : wires.record->silent())
      err_ << "stillwell: the recording has no column of " << id << ", which so never answers\n";
  }

  RehearsalStory play(const Wires& wires, const rehearsal::Plan& plan) {
    const Duration every = value_or_wrong(parse_duration(request_.every), "--every");
    if (every <= 0s) throw Wrong{"--every: expected more than nothing"};
    std::optional<Target> rows;
    if (!request_.csv.empty()) rows.emplace(request_.csv, out_);
    if (rows) rows->stream() << report::level_header(model());
    std::optional<Target> drawing;
    if (!request_.svg.empty()) drawing.emplace(request_.svg, out_);
    rehearsal::Trace trace{model(), plan.lasts, drawing ? kPieces : 1};
    RehearsalStory story{.site = name_of(model().name, model().id),
                         .checksum = configuration_.checksum,
                         .begins = plan.begins,
                         .lasted = {},
                         .events = {},
                         .totals = rehearsal::Totals{model()}};
    std::optional<Progress> progress{std::in_place, err_, stderr_is_terminal()};
    Pace pace{*progress};
    Duration row_due{0};
    story.lasted = rehearsal::rehearse(model(), wires.stand_in(), plan, [&](const Scanned& scanned) {
      story.totals.add(scanned);
      if (drawing) trace.add(scanned);
      for (const Event& event : scanned.outcome.events)
        story.events.push_back({scanned.wall, event});
      if (rows && scanned.since >= row_due) {
        rows->stream() << report::level_row(scanned.outcome.view, scanned.wall);
        row_due = scanned.since + every;
      }
      pace.at(seconds_of(scanned.since) / seconds_of(plan.lasts));
    });
    progress.reset();
    if (rows) rows->finish();
    if (wires.plant) note_spills(wires.plant->plant(), story);
    if (drawing) drawing->stream() << rehearsal_svg(model(), trace, story);
    if (drawing) drawing->finish();
    return story;
  }

  void note_spills(const plant::Plant& plant, RehearsalStory& story) const {
    for (std::size_t at = 0; at < model().tanks.size(); ++at)
      story.spilled.push_back(plant.basin({at}).ledger().spilled);
  }

  /// The text of the rehearsal to compare with: looked at before the work is done.
  [[nodiscard]] std::string earlier() const {
    if (request_.against.empty()) return "";
    std::ifstream file{request_.against, std::ios::binary};
    std::stringstream text;
    text << file.rdbuf();
    if (!file) throw Wrong{request_.against + " cannot be read"};
    value_or_wrong(differences(text.str(), text.str()), request_.against);
    return text.str();
  }

  int compare(const std::string& before, const std::string& now) {
    const auto found = value_or_wrong(differences(before, now), request_.against);
    std::ostream& told = request_.json || prints_a_file() ? err_ : out_;
    told << "\nAgainst " << request_.against << ": " << (found.empty() ? "the same" : "not the same") << "\n";
    for (const std::string& line : found)
      told << "  " << line << '\n';
    return found.empty() ? service::kDone : service::kAttention;
  }

  const RehearseRequest& request_;
  const config::Configuration& configuration_;
  std::ostream& out_;
  std::ostream& err_;
};

}  // namespace

int rehearse(const RehearseRequest& request, std::ostream& out, std::ostream& err) try {
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  return Rehearsing{request, *configuration, out, err}.run();
} catch (const Wrong& wrong) {
  err << "stillwell: " << wrong.what() << '\n';
  return service::kUsage;
}

}  // namespace stillwell::command
