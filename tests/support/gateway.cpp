#include "support/gateway.hpp"

#include "stillwell/report/client.hpp"

#include <algorithm>
#include <sstream>
#include <stdexcept>

#include "support/places.hpp"
#include <nlohmann/json.hpp>

namespace support {
namespace {

const std::string kBinary = support::binary_dir();
const std::string kSource = support::source_dir();

/// Every tank where no pump has anything to do and no alarm stands; the floats as the demonstration hangs
/// them.
constexpr std::string_view kStillScenario = R"(seed: 1
air: 18 degC
tanks:
  header: { start: 60 % }
  cistern: { start: 60 %, intake: 3 cm }
  bore-well: { start: 80 %, intake: 10 cm }
  sump: { start: 30 %, intake: 2 cm }
switches:
  header-float: { tank: header, on_above: 99 % }
  cistern-float: { tank: cistern, on_below: 6 % }
meters:
  lift-power: { pump: lift, wet: 900 W, dry: 250 W }
)";

void replace_all(std::string& text, std::string_view what, std::string_view by) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += by.size()) {
    text.replace(at, what.size(), by);
  }
}

std::string edited(const std::string& file, const Gateway::Edits& edits) {
  std::string text = read_file(kSource + "/config/" + file);
  for (const auto& [what, by] : edits) {
    if (text.find(what) == std::string::npos) throw std::runtime_error("not in the configuration: " + what);
    replace_all(text, what, by);
  }
  return text;
}

std::string configuration_for(const std::string& directory, const Broker* broker,
                              const Gateway::Edits& edits) {
  std::string text = edited("demo/stillwell.yaml", edits);
  replace_all(text, "/run/stillwell-demo", directory);
  // The tests order levels, which leap as no water can; so far off, any of them may be true.
  replace_all(text, "fastest: 10000 mm/min", "noise: 50 cm");
  if (broker != nullptr) {
    replace_all(text, ":18830", ":" + std::to_string(broker->port()));
    return text;
  }
  replace_all(text, "broker:\n  url: mqtt://127.0.0.1:18830\n", "");
  if (text.find("broker:") != std::string::npos) throw std::runtime_error("the broker is still configured");
  return text;
}

}  // namespace

Gateway::Gateway(With with, const Edits& edits)
    : broker_{with == With::broker ? std::make_unique<Broker>() : nullptr} {
  start_orchard(configuration_for(directory_.path(), broker_.get(), edits), kStillScenario);
  start_daemon();
}

Gateway::Gateway(const std::string& file, const std::string& scenario, const Edits& edits) {
  std::string text = edited(file, edits);
  replace_all(text, "/dev/serial/by-id/usb-rs485-0", directory_.file("line"));
  start_orchard(text, scenario);
  start_daemon();
}

void Gateway::start_orchard(const std::string& configured, std::string_view scenario) {
  write_file(configuration(), configured);
  write_file(directory_.file("scenario.yaml"), std::string{scenario});
  orchard_ = std::make_unique<Process>(
      std::vector<std::string>{kBinary + "/stillwell-orchard", "--config", configuration(), "--scenario",
                               directory_.file("scenario.yaml"), "--until-eof"});
  if (!orchard_->wait_line("ready"))
    throw std::runtime_error("the orchard did not start: " + orchard_->err());
}

void Gateway::start_daemon(const std::vector<std::string>& options,
                           const std::vector<std::string>& launcher) {
  std::vector<std::string> argv = launcher;
  argv.insert(argv.end(), {kBinary + "/stillwell", "run", "--config", configuration(), "--state",
                           directory_.file("state"), "--socket", directory_.file("socket")});
  argv.insert(argv.end(), options.begin(), options.end());
  daemon_ = std::make_unique<Process>(argv);
  if (!daemon_->wait_line("is running"))
    throw std::runtime_error("the daemon did not start: " + daemon_->err());
  if (!status_becomes("/tanks/0/quality", "good"))
    throw std::runtime_error("the first tank did not become good");
}

void Gateway::order(const std::string& text) {
  const auto answers = [this] {
    const std::string out = orchard_->out();
    std::istringstream lines{out};
    std::vector<std::string> found;
    for (std::string line; std::getline(lines, line);) {
      if (line.starts_with("ok") || line.starts_with("error")) found.push_back(line);
    }
    return found;
  };
  const std::size_t before = answers().size();
  orchard_->write(text + "\n");
  if (!eventually([&] { return answers().size() > before; }))
    throw std::runtime_error("no answer to: " + text);
  if (answers().back().starts_with("error")) throw std::runtime_error(text + ": " + answers().back());
}

Gateway::Ended Gateway::command(const std::vector<std::string>& words) const {
  std::vector<std::string> argv{kBinary + "/stillwell"};
  argv.insert(argv.end(), words.begin(), words.end());
  argv.insert(argv.end(), {"--socket", directory_.file("socket")});
  if (words.front() == "release") argv.insert(argv.end(), {"--state", directory_.file("state")});
  Process process{argv};
  const int code = process.wait_exit().value_or(-1);
  return {code, process.out(), process.err()};
}

std::string Gateway::status(const std::string& pointer) const {
  // Over the socket: a process for each look takes more than all else, above all with sanitizers. That the
  // command prints the same is tested by itself (tests/e2e/status_test.cpp).
  const auto reply = stillwell::report::ask_daemon(directory_.file("socket"), R"({"do":"status"})");
  const auto json = nlohmann::json::parse(reply ? *reply : "", nullptr, false);
  const nlohmann::json::json_pointer path{pointer};
  if (json.is_discarded() || !json.contains(path)) return {};
  return json[path].is_string() ? json[path].get<std::string>() : json[path].dump();
}

bool Gateway::status_becomes(const std::string& pointer, std::string_view wanted) const {
  return eventually([&] { return status(pointer) == wanted; });
}

std::vector<std::string> Gateway::journal(const std::vector<std::string>& fragments) const {
  std::istringstream lines{read_file(directory_.file("state/journal.jsonl"))};
  std::vector<std::string> found;
  for (std::string line; std::getline(lines, line);) {
    const auto holds = [&](const std::string& fragment) { return line.find(fragment) != std::string::npos; };
    if (std::all_of(fragments.begin(), fragments.end(), holds)) found.push_back(line);
  }
  return found;
}

bool Gateway::journal_tells(const std::vector<std::string>& fragments) const {
  return eventually([&] { return !journal(fragments).empty(); });
}

}  // namespace support
