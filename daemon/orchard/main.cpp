// stillwell-orchard: the devices of a configuration on pseudo-terminals, over a simulated plant. It stands in
// for a whole site in demonstrations and tests; it is never part of the daemon.

#include "stillwell/orchard/line_server.hpp"
#include "stillwell/orchard/orders.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/rehearsal/scenario_file.hpp"

#include <array>
#include <csignal>
#include <exception>
#include <iostream>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include <poll.h>
#include <unistd.h>

namespace stillwell::orchard {
namespace {

constexpr const char* kUsage =
    "usage: stillwell-orchard --config FILE [--scenario FILE] [--until-eof]\n"
    "\n"
    "Puts the instruments of a configuration on pseudo-terminals, at the paths that its lines name, over a\n"
    "simulated plant. Prints 'ready', then one line for each contact that closes or opens.\n"
    "\n"
    "  --config FILE     the configuration whose lines and instruments are played\n"
    "  --scenario FILE   levels, flows, floats, loads and faults; without it the tanks stand half full\n"
    "  --until-eof       ends when the standard input does\n"
    "\n"
    "Orders on the standard input, one a line, each answered with 'ok …' or 'error …':\n"
    "  fault WHAT KIND [SIZE] [for DURATION]   clear WHAT   set TANK LEVEL\n"
    "  inflow TANK FLOW   draw TANK FLOW   press BUTTON [for DURATION]\n"
    "  turn SELECTOR on|off   show   quit\n"
    "Kinds of faults:\n";

constexpr int kDone = 0;
constexpr int kUsageError = 2;
constexpr int kFieldError = 3;
constexpr int kTurnMilliseconds = 50;
constexpr std::size_t kLongestInput = 4096;

volatile std::sig_atomic_t stop_asked = 0;

struct Options {
  std::string config;
  std::string scenario;
  bool until_eof = false;
};

std::string usage() {
  std::string text = kUsage;
  for (const plant::FaultRow& row : plant::fault_table()) {
    std::string word{row.word};
    word.resize(16, ' ');
    text += "  " + word + std::string{row.text} + "\n";
  }
  return text;
}

Result<Options> parse(const std::vector<std::string>& words) {
  Options options;
  for (std::size_t at = 0; at < words.size(); ++at) {
    const std::string& word = words[at];
    if (word == "--until-eof") {
      options.until_eof = true;
      continue;
    }
    std::string* const target = word == "--config"     ? &options.config
                                : word == "--scenario" ? &options.scenario
                                                       : nullptr;
    if (target == nullptr) return Failure{"'" + word + "' is no option"};
    if (++at == words.size()) return Failure{word + " wants a file"};
    *target = words[at];
  }
  if (options.config.empty()) return Failure{"--config is missing"};
  return options;
}

bool complained(const std::vector<config::Problem>& problems) {
  for (const config::Problem& problem : problems)
    std::cerr << problem.to_text() << '\n';
  return !problems.empty();
}

plant::Plant grown(const config::Configuration& configuration, plant::Scenario scenario) {
  plant::Plant plant{configuration.model, std::move(scenario)};
  for (std::size_t at = 0; at < configuration.wiring.contacts.size(); ++at) {
    // A relay with a drop-out timer begins with the timer run out.
    if (configuration.wiring.contacts[at].refresh) plant.hold(ContactIndex{at}, Duration{0});
  }
  return plant;
}

void say(const std::string& line) {
  std::cout << line << '\n' << std::flush;
}

/// The standard input as whole lines. Empty while there is none; ended() once no more can come.
class Input {
 public:
  std::vector<std::string> take_lines(int wait_milliseconds) {
    pollfd wait{.fd = ended_ ? -1 : STDIN_FILENO, .events = POLLIN, .revents = 0};
    if (poll(&wait, 1, wait_milliseconds) <= 0) return {};
    std::array<char, kLongestInput> bytes{};
    const ssize_t count = read(STDIN_FILENO, bytes.data(), bytes.size());
    if (count <= 0) {
      ended_ = true;
      return {};
    }
    begun_.append(bytes.data(), static_cast<std::size_t>(count));
    return whole_lines();
  }
  [[nodiscard]] bool ended() const { return ended_; }

 private:
  std::vector<std::string> whole_lines() {
    std::vector<std::string> lines;
    std::size_t end = 0;
    while ((end = begun_.find('\n')) != std::string::npos) {
      lines.push_back(begun_.substr(0, end));
      begun_.erase(0, end + 1);
    }
    if (begun_.size() > kLongestInput)
      lines.push_back(std::exchange(begun_, {}));  // will be refused as too long
    return lines;
  }

  std::string begun_;
  bool ended_ = false;
};

void tell_changes(Yard& yard, const Model& model) {
  const auto changes = yard.with([](plant::Plant& plant) { return plant.take_changes(); });
  for (const plant::ContactChange& change : changes) {
    say("contact " + model.contacts[change.contact.at].id + (change.on ? " on " : " off ") +
        fixed(seconds_of(change.at), 3) + " s");
  }
}

void run(Yard& yard, const Model& model, bool until_eof) {
  Input input;
  say("ready");
  while (stop_asked == 0 && !(until_eof && input.ended())) {
    for (const std::string& line : input.take_lines(kTurnMilliseconds)) {
      if (line == "quit") return say("ok quit");
      say(yard.with([&](plant::Plant& plant) { return carry_out(line, plant); }));
    }
    tell_changes(yard, model);
  }
}

int play(const Options& options) {
  const config::Loaded loaded = config::load(options.config);
  if (complained(loaded.problems) || !loaded.configuration) return kUsageError;
  const config::Configuration& configuration = *loaded.configuration;
  plant::Scenario scenario = plant::still_water(configuration.model);
  if (!options.scenario.empty()) {
    rehearsal::LoadedScenario given = rehearsal::load_scenario(options.scenario, configuration.model);
    if (complained(given.problems) || !given.scenario) return kUsageError;
    scenario = std::move(*given.scenario);
  }
  Yard yard{grown(configuration, std::move(scenario))};
  std::vector<std::unique_ptr<LineServer>> lines;
  for (std::size_t at = 0; at < configuration.wiring.lines.size(); ++at) {
    lines.push_back(std::make_unique<LineServer>(yard, LineIndex{at}, configuration.wiring));
  }
  run(yard, configuration.model, options.until_eof);
  return kDone;
}

void stop_on_signals() {
  const auto ask_to_stop = [](int) { stop_asked = 1; };
  std::signal(SIGTERM, ask_to_stop);
  std::signal(SIGINT, ask_to_stop);
  std::signal(SIGPIPE, SIG_IGN);
}

int start(const std::vector<std::string>& words) {
  if (words.size() == 1 && words.front() == "--help") {
    std::cout << usage();
    return kDone;
  }
  const auto options = parse(words);
  if (!options) {
    std::cerr << "stillwell-orchard: " << options.error() << "; see --help\n";
    return kUsageError;
  }
  stop_on_signals();
  return play(*options);
}

}  // namespace
}  // namespace stillwell::orchard

int main(int argc, char* argv[]) {
  try {
    return stillwell::orchard::start({argv + 1, argv + argc});
  } catch (const std::exception& error) {
    std::cerr << "stillwell-orchard: " << error.what() << '\n';
    return stillwell::orchard::kFieldError;
  }
}
