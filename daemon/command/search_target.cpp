#include "stillwell/command/search_target.hpp"

#include "stillwell/config/near_miss.hpp"
#include "stillwell/field/serial.hpp"
#include "stillwell/report/client.hpp"
#include "stillwell/report/snapshot.hpp"

#include <algorithm>
#include <system_error>

namespace stillwell::command {
namespace {

bool is_same_device(const std::string& one, const std::string& other) {
  std::error_code error;
  return one == other || std::filesystem::equivalent(one, other, error);
}

SearchTarget configured_target(const config::Wiring& wiring, std::size_t at) {
  SearchTarget target{.line = wiring.lines[at], .is_configured = true};
  for (const config::ContactWiring& contact : wiring.contacts)
    if (contact.line.at == at)
      target.contacts.push_back(contact.id + " (station " + std::to_string(contact.station) + ")");
  return target;
}

Result<SearchTarget> target_by_path(const std::string& path,
                                    const std::optional<config::Configuration>& known) {
  if (known) {
    const auto& lines = known->wiring.lines;
    const auto found = std::ranges::find_if(lines, [&](const config::LineWiring& line) {
      return !line.tcp && line.carries != config::Carries::pins && is_same_device(line.port, path);
    });
    if (found != lines.end())
      return configured_target(known->wiring, static_cast<std::size_t>(found - lines.begin()));
  }
  SearchTarget target;
  target.line.id = "found";
  target.line.port = path;
  return target;
}

Result<SearchTarget> target_by_name(const std::string& name, const config::Wiring& wiring) {
  std::vector<std::string_view> ids;
  for (std::size_t at = 0; at < wiring.lines.size(); ++at) {
    const config::LineWiring& line = wiring.lines[at];
    if (line.carries == config::Carries::pins) continue;
    ids.push_back(line.id);
    if (line.id != name) continue;
    if (line.tcp)
      return Failure{"line '" + name +
                     "' goes through a gateway, and only a serial line can be searched; "
                     "unplug the adapter there and search it here"};
    return configured_target(wiring, at);
  }
  return Failure{"there is no line '" + name + "'; " + config::suggestion(name, ids) +
                 "; or name a device such as /dev/ttyUSB0"};
}

}  // namespace

bool names_a_device(const std::string& named) {
  return named.find('/') != std::string::npos;
}

Result<SearchTarget> target_of(const std::string& named, const std::optional<config::Configuration>& known) {
  if (names_a_device(named)) return target_by_path(named, known);
  if (known) return target_by_name(named, known->wiring);
  return Failure{"'" + named +
                 "' is no device, and there is no configuration that names lines; name a device "
                 "such as /dev/ttyUSB0"};
}

std::optional<std::string> held_against(const SearchTarget& target, const std::filesystem::path& socket) {
  const std::string what =
      target.is_configured ? "line " + target.line.id + " (" + target.line.port + ")" : target.line.port;
  if (target.is_configured) {
    const auto answer = report::ask_daemon(socket, R"({"do":"status"})");
    const auto snapshot = answer ? report::parse_snapshot(*answer) : Result<report::Snapshot>{Failure{}};
    const bool is_its = snapshot && std::ranges::find(snapshot->lines, target.line.id,
                                                      &report::LineStatus::id) != snapshot->lines.end();
    if (is_its)
      return what +
             " is held by the running daemon, which a search would disturb; stop it first (systemctl "
             "stop stillwell), or look at its gauges with `stillwell sound`";
    if (answer && !snapshot)
      return what + " may be held by the daemon that answers at " + socket.string() +
             " as if it were of another "
             "version; stop it first";
  }
  if (field::is_held(target.line)) return what + " is held by another program; stop that one first";
  return {};
}

}  // namespace stillwell::command
