#include "stillwell/config/broker_url.hpp"
#include "stillwell/config/build.hpp"
#include "stillwell/config/variables.hpp"

#include <array>
#include <filesystem>

namespace stillwell::config {
namespace {

/// Asked of the system only where it has the database; a minimal container has none and knows no zone but
/// UTC.
bool is_known_zone(const std::string& name) {
  const std::filesystem::path database = "/usr/share/zoneinfo";
  std::error_code error;
  if (!std::filesystem::is_directory(database, error)) return true;
  return std::filesystem::is_regular_file(database / name, error);
}

std::string expanded(Build& build, const Checked& section, std::string_view key) {
  const auto text = section.get<std::string>(key);
  if (!text) return {};
  const auto path = expand(*text);
  if (!path) {
    build.tell(section.at(key), path.error());
    return {};
  }
  Broker& broker = *build.out.broker;
  if (broker.unset_variable.empty()) broker.unset_variable = path->unset;
  return path->text;
}

constexpr std::array kAcceptable{Accept::acknowledge, Accept::silence, Accept::shelve, Accept::reset,
                                 Accept::mode};

std::set<Accept> accepted(const Checked& broker) {
  std::set<Accept> all;
  for (const Value& word : broker.list("accept")) {
    for (const Accept accept : kAcceptable) {
      if (to_word(accept) == std::get<std::string>(word)) all.insert(accept);
    }
  }
  return all;
}

std::optional<Discovery> discovery_of(const Checked& broker) {
  const auto prefix = value_or<std::string>(broker, "discovery_prefix");
  if (prefix.empty()) return {};
  const bool of_entity = value_or<std::string>(broker, "discovery_form") == "entity";
  const auto status = value_or<std::string>(broker, "discovery_status");
  return Discovery{.prefix = prefix,
                   .form = of_entity ? DiscoveryForm::entity : DiscoveryForm::device,
                   .status = status.empty() ? prefix + "/status" : status};
}

/// Told when a range is written the wrong way round.
void check_range(Build& build, const Checked& site, std::string_view key) {
  const auto ends = site.list(key);
  if (ends.size() == 2 && std::get<Celsius>(ends[0]) > std::get<Celsius>(ends[1])) {
    build.tell(site.at(key), "expected the coldest first, [" + to_text(std::get<Celsius>(ends[1])) + ", " +
                                 to_text(std::get<Celsius>(ends[0])) + "]");
  }
}

}  // namespace

std::string_view to_word(Accept accept) {
  switch (accept) {
    case Accept::acknowledge: return "acknowledge";
    case Accept::silence: return "silence";
    case Accept::shelve: return "shelve";
    case Accept::reset: return "reset";
    case Accept::mode: return "mode";
  }
  return "";
}

void build_site(Build& build) {
  const Checked* site = build.root.part("site");
  if (site == nullptr) return;
  Model& model = build.out.model;
  model.id = value_or<std::string>(*site, "id");
  model.name = value_or<std::string>(*site, "name", model.id);
  model.scan = value_or<Duration>(*site, "scan");
  model.stagger = value_or<Duration>(*site, "stagger");
  build.out.wiring.scan = model.scan;
  check_range(build, *site, "air");
  check_range(build, *site, "water");
  build.out.timezone = value_or<std::string>(*site, "timezone");
  if (!build.out.timezone.empty() && !is_known_zone(build.out.timezone)) {
    build.tell(site->at("timezone"),
               "this system knows no time zone '" + build.out.timezone +
                   "'; expected a name such as Europe/Lisbon (see timedatectl list-timezones)");
  }
}

void build_broker(Build& build) {
  const Checked* section = build.root.part("broker");
  if (section == nullptr) return;
  build.out.broker.emplace();
  Broker& broker = *build.out.broker;
  if (const auto url = parse_broker_url(value_or<std::string>(*section, "url"))) {
    broker.host = url->host;
    broker.port = url->port;
    broker.tls = url->tls;
  }
  broker.ca = expanded(build, *section, "ca");
  broker.cert = expanded(build, *section, "cert");
  broker.key = expanded(build, *section, "key");
  broker.user = value_or<std::string>(*section, "user");
  broker.password_file = expanded(build, *section, "password_file");
  broker.accept = accepted(*section);
  broker.discovery = discovery_of(*section);
  if (broker.discovery && (broker.discovery->prefix + "/").starts_with("homie/"))
    build.tell(section->at("discovery_prefix"), "homie/ is where the values are; take another topic");
  for (const std::string_view key : {"ca", "cert", "key"}) {
    if (section->has(key) && section->get<std::string>("url") && !broker.tls) {
      build.tell(section->at(key), "has no meaning without TLS; write the url with mqtts://");
    }
  }
}

}  // namespace stillwell::config
