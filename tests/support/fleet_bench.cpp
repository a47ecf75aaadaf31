#include "support/fleet_bench.hpp"

#include <sstream>
#include <stdexcept>
#include <utility>

#include "support/places.hpp"

namespace support {
namespace {

constexpr const char* kReader = "store";

using Fills = std::vector<std::pair<std::string, std::string>>;

/// Takes the # from the lines that are offered; prose has a space after it.
std::string with_offers(const std::string& text) {
  std::istringstream lines{text};
  std::string all;
  for (std::string line; std::getline(lines, line);) {
    const bool is_offer = line.size() > 1 && line[0] == '#' && line[1] != ' ';
    all += (is_offer ? line.substr(1) : line) + "\n";
  }
  return all;
}

/// A file of config/fleet with its places filled in, and nothing else changed but what is offered.
std::string shipped(const std::string& name, const Fills& fills, Commands commands) {
  std::string text = read_file(source_dir() + "/config/fleet/" + name);
  if (text.empty()) throw std::runtime_error{"no config/fleet/" + name};
  for (const auto& [place, filling] : fills) {
    if (text.find(place) == std::string::npos) throw std::runtime_error{name + " does not say " + place};
    for (std::size_t at = 0; (at = text.find(place, at)) != std::string::npos; at += filling.size())
      text.replace(at, place.size(), filling);
  }
  return commands == Commands::let_in ? with_offers(text) : text;
}

/// What Debian's own mosquitto.conf says beside the files of conf.d.
std::vector<std::string> with_folder(const TemporaryDirectory& directory) {
  return {"persistence_location " + directory.path() + "/", "include_dir " + directory.path()};
}

}  // namespace

CentralBroker::CentralBroker(Certificates& certificates, Commands commands, const std::string& access)
    : certificates_{certificates}, port_{free_port()} {
  for (const char* user : {"central", "orchard", "office", kReader})
    certificates_.make(user);
  write_file(directory_.file("access"), shipped("central-access-list", {}, commands) + access);
  write_file(directory_.file("central.conf"),
             shipped("central.conf",
                     {{"listener 8883", "listener " + std::to_string(port_)},
                      {"/etc/mosquitto/certs/", certificates_.directory() + "/"},
                      {"/etc/mosquitto/central-access-list", directory_.file("access")}},
                     Commands::none));
  auto lines = with_folder(directory_);
  lines.emplace_back("allow_anonymous false");
  broker_ = std::make_unique<Broker>(lines);
}

std::vector<std::string> CentralBroker::client(const std::string& program, const std::string& user) const {
  return {program,
          "-h",
          "localhost",
          "-p",
          std::to_string(port_),
          "-V",
          "5",
          "-q",
          "1",
          "--cafile",
          certificates_.file("ca"),
          "--cert",
          certificates_.file(user),
          "--key",
          certificates_.key(user)};
}

std::unique_ptr<Process> CentralBroker::reader(const std::vector<std::string>& filters) const {
  auto argv = client("mosquitto_sub", kReader);
  argv.insert(argv.begin(), {"stdbuf", "-oL"});
  argv.insert(argv.end(), {"-i", kReader, "-c", "-x", "3600", "-F", "%r %t %p"});
  for (const std::string& filter : filters)
    argv.insert(argv.end(), {"-t", filter});
  return std::make_unique<Process>(argv);
}

bool CentralBroker::remembers_reader() const {
  return eventually(
      [this] { return read_file(directory_.file("mosquitto.db")).find(kReader) != std::string::npos; });
}

void CentralBroker::publish(const std::string& user, const std::string& topic,
                            const std::vector<std::string>& options) const {
  auto argv = client("mosquitto_pub", user);
  argv.insert(argv.end(), {"-t", topic});
  argv.insert(argv.end(), options.begin(), options.end());
  Process sender{argv};
  sender.close_input();
  if (sender.wait_exit() != 0) throw std::runtime_error{"mosquitto_pub: " + sender.err()};
}

SiteBroker::SiteBroker(const CentralBroker& centre, const std::string& certificates, Commands commands) {
  write_file(directory_.file("site-bridge.conf"),
             shipped("site-bridge.conf",
                     {{"central.example.org:8883", "localhost:" + std::to_string(centre.port())},
                      {"/etc/mosquitto/certs/", certificates}},
                     commands));
  auto lines = with_folder(directory_);
  lines.push_back("log_dest file " + directory_.file("log"));
  broker_ = std::make_unique<Broker>(lines);
}

}  // namespace support
