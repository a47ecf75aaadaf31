#include "stillwell/service/release.hpp"

#include "stillwell/config/checksum.hpp"
#include "stillwell/config/document.hpp"
#include "stillwell/config/small_file.hpp"
#include "stillwell/field/clock.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/report/client.hpp"
#include "stillwell/report/durable_file.hpp"
#include "stillwell/report/requests.hpp"
#include "stillwell/report/snapshot.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/service/lock.hpp"

#include <cstdlib>
#include <ostream>
#include <thread>
#include <utility>

namespace stillwell::service {
namespace {

constexpr Duration kLookEvery = std::chrono::milliseconds{100};

void warn(std::ostream& err, const std::string& text) {
  err << "stillwell: " << text << '\n';
}

/// The pumps whose contacts the daemon does not show as off; a failure when it does not answer.
Result<std::vector<std::string>> not_off(const std::filesystem::path& socket) {
  const auto reply = report::ask_daemon(socket, R"({"do":"status"})");
  if (!reply) return Failure{reply.error()};
  const auto seen = report::parse_snapshot(*reply);
  if (!seen) return Failure{seen.error()};
  std::vector<std::string> pumps;
  for (const report::PumpStatus& pump : seen->pumps)
    if (pump.order != "off" || !pump.confirmed_off) pumps.push_back(pump.id);
  return pumps;
}

/// Until every contact is seen off, or for so long.
int watch_release(const std::filesystem::path& socket, std::ostream& out, std::ostream& err) {
  const Instant until = field::now() + kReleaseLimit;
  while (true) {
    const auto pumps = not_off(socket);
    if (!pumps) {
      warn(err, pumps.error() + "; nothing shows that the contacts are off: treat every pump as live");
      return kUnreachable;
    }
    if (pumps->empty()) {
      out << "every pump's contact is confirmed off\n";
      return kDone;
    }
    if (field::now() > until) {
      warn(err, listed(*pumps) + ": NOT confirmed off: treat the pump as live");
      return kUnreachable;
    }
    std::this_thread::sleep_for(kLookEvery);
  }
}

int ask_daemon_to_release(const std::filesystem::path& socket, std::ostream& out, std::ostream& err) {
  const auto reply = report::ask_daemon(socket, R"({"do":"release"})");
  const auto answer = reply ? report::parse_answer(*reply) : Result<Answer>{Failure{reply.error()}};
  if (!answer) {
    warn(err, answer.error() +
                  "; a daemon holds the contacts: end it (systemctl stop stillwell), and they "
                  "are released");
    return kUnreachable;
  }
  if (!answer->done) {
    warn(err, "refused: " + answer->text);
    return kRefused;
  }
  out << answer->text << '\n';
  return watch_release(socket, out, err);
}

int release_here(const config::Wiring& wiring, std::ostream& out, std::ostream& err) {
  field::Field field{wiring, [] {}};
  field.start();
  if (field.release(kReleaseLimit)) {
    out << "every contact is confirmed off\n";
    return kDone;
  }
  for (const std::string& trouble : field.troubles()) {
    if (!trouble.empty()) warn(err, trouble);
  }
  for (const std::string& id : unconfirmed(wiring, field))
    warn(err, id + " is NOT confirmed off: treat its pump as live");
  return kUnreachable;
}

std::filesystem::path copy_in(const DaemonOptions& options) {
  return options.state_directory / "configuration-in-use.yaml";
}

/// What the last daemon ran with; empty when there is none that can be read.
std::optional<config::Configuration> copy_of_last(const DaemonOptions& options) {
  const auto text = config::read_small_file(copy_in(options), config::kLargestFile);
  if (!text) return {};
  // Named as the original, since other files are looked for beside that.
  return config::parse(*text, options.configuration.string()).configuration;
}

}  // namespace

std::optional<Failure> keep_copy(const DaemonOptions& options, const std::string& checksum) {
  const auto text = config::read_small_file(options.configuration, config::kLargestFile);
  if (!text) return Failure{text.error()};
  if (config::checksum_text(*text) != checksum) return Failure{"the file was changed while we began"};
  return report::replace_durably(copy_in(options), *text);
}

Caller caller_of_this_program() {
  return std::getenv("SERVICE_RESULT") != nullptr ? Caller::service_manager : Caller::person;
}

std::vector<std::string> unconfirmed(const config::Wiring& wiring, const field::Field& field) {
  const Readings readings = field.latest();
  std::vector<std::string> ids;
  for (std::size_t at = 0; at < wiring.contacts.size(); ++at) {
    const bool off = at < readings.contacts.size() && readings.contacts[at].on == false;
    if (!off) ids.push_back(wiring.contacts[at].id);
  }
  return ids;
}

std::optional<config::Configuration> load_configuration(const std::filesystem::path& file,
                                                        std::ostream& err) {
  config::Loaded loaded = config::load(file);
  for (const config::Problem& problem : loaded.problems)
    err << problem.to_text() << '\n';
  if (!loaded.configuration) err << "stillwell: the configuration has errors; nothing was started\n";
  return std::move(loaded.configuration);
}

int release(const DaemonOptions& options, Caller caller, std::ostream& out, std::ostream& err) {
  const LockTry held = lock_state(options.state_directory);
  if (held.lock) {
    auto configuration = copy_of_last(options);
    if (!configuration) configuration = load_configuration(options.configuration, err);
    return configuration ? release_here(configuration->wiring, out, err) : int{kUsage};
  }
  if (held.held_by_another && caller == Caller::person)
    return ask_daemon_to_release(options.socket, out, err);
  warn(err, held.why);
  return held.held_by_another ? kRefused : kUnreachable;
}

}  // namespace stillwell::service
