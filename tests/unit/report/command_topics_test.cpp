// What may be commanded has a topic and is announced as settable; what may not has neither.
#include "stillwell/report/command_topics.hpp"

#include "stillwell/report/homie.hpp"

#include <algorithm>
#include <set>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using config::Accept;
using nlohmann::json;

namespace {

std::set<std::string> topics(const std::set<Accept>& accepted) {
  std::set<std::string> all;
  for (const auto& each : command_topics(support::orchard_model(), accepted))
    all.insert(each.topic);
  return all;
}

/// Of a device, as it is announced when that is accepted.
json nodes_of(const std::string& device, const std::set<Accept>& accepted) {
  const auto model = support::orchard_model();
  const auto messages =
      Homie{model, command_topics(model, accepted)}.announce(support::calm_view(model), {"0.1.0", {}, ""});
  const auto found = std::find_if(messages.begin(), messages.end(), [&](const Message& message) {
    return message.topic == "homie/5/" + device + "/$description";
  });
  REQUIRE(found != messages.end());
  return json::parse(found->payload)["nodes"];
}

}  // namespace

TEST_CASE("commands: nothing accepted, nothing to set", "[report][commands][homie]") {
  CHECK(topics({}).empty());
  for (const std::string device : {"orchard", "orchard-header", "orchard-lift"}) {
    const std::string description = nodes_of(device, {}).dump();
    CHECK(description.find("settable") == std::string::npos);
    CHECK(description.find("retained") == std::string::npos);
  }
  CHECK_FALSE(nodes_of("orchard-lift", {})["pump"]["properties"].contains("reset"));
}

TEST_CASE("commands: each word opens its own topics and no other", "[report][commands]") {
  CHECK(topics({Accept::acknowledge}) == std::set<std::string>{"homie/5/orchard/alarms/acknowledge/set"});
  CHECK(topics({Accept::shelve}) ==
        std::set<std::string>{"homie/5/orchard/alarms/shelve/set", "homie/5/orchard/alarms/unshelve/set"});
  CHECK(topics({Accept::mode}) ==
        std::set<std::string>{"homie/5/orchard-lift/pump/mode/set", "homie/5/orchard-bore/pump/mode/set"});
  CHECK(topics({Accept::reset}) == std::set<std::string>{"homie/5/orchard-lift/pump/reset/set",
                                                         "homie/5/orchard-bore/pump/reset/set",
                                                         "homie/5/orchard/alarms/reset/set"});
}

TEST_CASE("commands: mode is settable beside its value, and keeps what it was", "[report][commands][homie]") {
  auto before = nodes_of("orchard-lift", {})["pump"]["properties"];
  const auto after = nodes_of("orchard-lift", {Accept::mode})["pump"]["properties"];
  CHECK(after["mode"]["settable"] == true);
  CHECK_FALSE(after["mode"].contains("retained"));
  before["mode"]["settable"] = true;
  CHECK(after == before);
}

TEST_CASE("commands: what is only set is announced as a momentary thing", "[report][commands][homie]") {
  const auto reset = nodes_of("orchard-lift", {Accept::reset})["pump"]["properties"]["reset"];
  CHECK(reset["datatype"] == "boolean");
  CHECK(reset["settable"] == true);
  CHECK(reset["retained"] == false);
  const auto alarms = nodes_of("orchard", {Accept::acknowledge})["alarms"];
  CHECK(alarms["name"] == "Alarms");
  CHECK(alarms["properties"]["acknowledge"]["datatype"] == "string");
  CHECK(alarms["properties"]["acknowledge"]["retained"] == false);
  CHECK_FALSE(alarms["properties"].contains("reset"));
  CHECK(nodes_of("orchard", {Accept::shelve})["alarms"]["properties"]["shelve"]["datatype"] == "json");
}

TEST_CASE("commands: accepting another thing makes another description version",
          "[report][commands][homie]") {
  const auto version = [](const std::set<Accept>& accepted) {
    const auto model = support::orchard_model();
    const auto messages =
        Homie{model, command_topics(model, accepted)}.announce(support::calm_view(model), {"0.1.0", {}, ""});
    for (const auto& message : messages)
      if (message.topic == "homie/5/orchard-lift/$description")
        return json::parse(message.payload)["version"];
    return json{};
  };
  CHECK(version({}) == version({Accept::acknowledge}));
  CHECK(version({}) != version({Accept::mode}));
}

TEST_CASE("commands: every row of the table is a legal property of the convention", "[report][commands]") {
  // Homie 5.0.0: ids of a-z, 0-9 and -; a property named `set` could not be told from a command.
  for (const CommandRow& row : command_table()) {
    for (const std::string_view id : {row.node, row.property}) {
      CHECK_FALSE(id.empty());
      CHECK(id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string_view::npos);
      CHECK(id != "set");
    }
    CHECK_FALSE(row.name.empty());
    CHECK(row.property == to_word(row.kind));  // one word in topics, journal and command line
  }
}

TEST_CASE("commands: README.md shows an example of every one", "[report][commands][documents]") {
  const std::string readme = support::read_file(support::source_dir() + "/README.md");
  std::size_t shown = 0;
  for (const auto& each :
       command_topics(support::orchard_model(),
                      {Accept::acknowledge, Accept::silence, Accept::shelve, Accept::reset, Accept::mode})) {
    if (each.device == "orchard-bore") continue;  // as the lift
    INFO(each.topic);
    CHECK(readme.find("-t " + each.topic + " -m ") != std::string::npos);
    ++shown;
  }
  CHECK(shown == command_table().size());
}
