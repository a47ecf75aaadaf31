#include "stillwell/config/configuration.hpp"
#include "stillwell/config/grammar.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "support/catch.hpp"
#include "support/config_base.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell::config;

namespace {

nlohmann::json document() {
  auto json = nlohmann::json::parse(schema(), nullptr, false);
  REQUIRE_FALSE(json.is_discarded());
  return json;
}

/// Faults that a schema can see; those between sections and those of order are for `check` alone.
const std::array kVisible{
    std::pair{"to_floor: 2.85 m", "to_flor: 2.85 m"},
    std::pair{"lines:\n", "notify: { for: [high] }\nlines:\n"},
    std::pair{"lines:\n", "notify: { run: /bin/true, for: [urgent] }\nlines:\n"},
    std::pair{"lines:\n", "notify: { run: /bin/true, at_most: 10 }\nlines:\n"},
    std::pair{"site: { id: orchard }\n", ""},
    std::pair{"    gauge: cistern-top\n", ""},
    std::pair{"every: 1 s", "every: 1"},
    std::pair{"every: 1 s", "every: 1 m"},
    std::pair{"every: 1 s", "every:"},
    std::pair{"capacity: 5000 L", "capacity: 5000 m"},
    std::pair{"station: 1\n", "station: 248\n"},
    std::pair{"station: 1\n", "station: '1'\n"},
    std::pair{"as: u16", "as: u15"},
    std::pair{"id: orchard", "id: Orchard"},
    std::pair{"id: orchard", "id: 7"},
    std::pair{"{ at: 15 % }", "{ at: 15 %, latch: yes }"},
    std::pair{"mqtt://127.0.0.1", "http://127.0.0.1"},
    std::pair{"coil: 0, ", ""},
    std::pair{"refresh: { address: 40, for: 5 s }",
              "refresh: { address: 40, for: 5 s }\n    fails_off: wired"},
    std::pair{"diameter: 2.4 m", "diameter: 2.4 m, width: 1 m"},
    std::pair{"diameter: 2.4 m", "diameter: 2.4 m, colour: red"},
    std::pair{"diameter: 2.4 m", "diameter: 2.4 m, bottom: conical"},
    std::pair{"diameter: 2.4 m", "diameter: 2.4 m, bottom: { kind: flat, depth: 5 cm }"},
    std::pair{"diameter: 2.4 m",
              "diameter: 2.4 m, bottom: { kind: torispherical, crown: 1 m, knuckle: 0.1 }"},
    std::pair{"vertical-cylinder, diameter: 2.4 m", "frustum, bottom: [2 m, 1 m], top: 2 m, height: 3 m"},
    std::pair{"vertical-cylinder, diameter: 2.4 m", "stack, sections: []"},
    std::pair{"vertical-cylinder, diameter: 2.4 m", "stack, sections: [{ shape: sphere, diameter: 3 m }]"},
    std::pair{"shape: vertical-cylinder, diameter: 2.4 m", "strapping: [[0 cm, 0 L], [3 m]]"},
    std::pair{"capacity: 5000 L", "capacity: 5000 L, deadwood: [{ from: 0 m, to: 1 m, volume: 9 L }]"},
    std::pair{"    station: 1\n", ""},
    std::pair{"    from: cistern\n", ""},
    std::pair{"duty: fill", "duty: fill\n    kind: valve"},
    std::pair{"duty: fill", "duty: fill\n    allowed: [\"22:00-6:00\"]"},
    std::pair{"  full-float:", "  Full_Float:"},
    std::pair{"value: u16be, ", ""},
    std::pair{"as: u16, unit: mm", "as: u16"},
    std::pair{"unit: mm }", "scale: [[0, 0 m]] }"},
    std::pair{"unit: mm }", "scale: [[0, 0 m], [9, 5]] }"},
    std::pair{"    every: 1 s\n", "    status: { table: input, address: 1, good: [] }\n"},
    std::pair{"value: u16be", "lead: 31, value: u16be"},
    std::pair{"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: gateway, speed: 9600 8N1"},
    std::pair{"port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: \"tcp://gateway\""},
};

/// What a tank may hold, written in every form that the grammar has.
const std::array kHeld{
    "shape: vertical-cylinder, diameter: 2.4 m, bottom: ellipsoidal",
    "shape: vertical-cylinder, diameter: 2.4 m, bottom: { kind: conical, depth: 0.5 m }",
    "shape: horizontal-cylinder, diameter: 2.5 m, length: 4 m, heads: hemispherical",
    "shape: horizontal-cylinder, diameter: 2.5 m, length: 4 m, heads: [flat, { kind: torispherical, crown: "
    "1, "
    "knuckle: 0.06 }], tilt: 2 cm, gauge_at: 3 m",
    "shape: rectangular-frustum, bottom: [1 m, 0.6 m], top: [2.2 m, 1.4 m], height: 2.5 m",
    "shape: frustum, bottom: 1.2 m, top: 2 m, height: 2.5 m, deadwood: [{ from: 1 m, to: 2 m, volume: 9 L }]",
    "shape: stack, sections: [{ shape: cone, diameter: 2 m, height: 0.8 m }, { shape: vertical-cylinder, "
    "diameter: 2 m, height: 3 m }]",
    "strapping: [[0 cm, 0 L], [10 cm, 180 L], [3 m, 9 m3]]",
};

}  // namespace

TEST_CASE("schema: every key of the grammar is in it, with its words for people", "[config][schema]") {
  const auto json = document();
  CHECK(json.at("$schema") == "https://json-schema.org/draft/2020-12/schema");
  for (const Key& key : grammar().keys) {
    const auto& here = json.at("properties").at(std::string(key.name));
    CHECK(here.at("description") == key.doc);
    std::string name(key.section->name);
    std::ranges::replace(name, ' ', '-');
    const auto& section = json.at("$defs").at(name);
    CHECK(section.at("additionalProperties") == false);
    for (const Key& inner : key.section->keys)
      CHECK(section.at("properties").contains(std::string(inner.name)));
  }
}

TEST_CASE("schema: no key of the broker turns the check of its certificate off", "[config][schema][tls]") {
  // Whoever adds one writes it here, and has then made sure that it does not.
  const std::set<std::string> harmless{"url",
                                       "ca",
                                       "cert",
                                       "key",
                                       "user",
                                       "password_file",
                                       "accept",
                                       "discovery_prefix",
                                       "discovery_form",
                                       "discovery_status"};
  const auto json = document();
  std::set<std::string> keys;
  for (const auto& [name, of] : json.at("$defs").at("broker").at("properties").items())
    keys.insert(name);
  CHECK(keys == harmless);
}

TEST_CASE("schema: every reference in it leads to a definition, and every definition is used",
          "[config][schema]") {
  const auto json = document();
  const std::string text = schema();
  for (const auto& [name, definition] : json.at("$defs").items()) {
    INFO(name);
    CHECK(text.find("\"#/$defs/" + name + "\"") != std::string::npos);
  }
  std::size_t at = 0;
  while ((at = text.find("#/$defs/", at)) != std::string::npos) {
    at += 8;
    CHECK(json.at("$defs").contains(text.substr(at, text.find('"', at) - at)));
  }
}

TEST_CASE("schema: every choice has something to choose", "[config][schema]") {
  // JSON Schema Validation 2020-12, 6.1.2: an enum should have an element; there are validators that refuse
  // the whole schema for one that has none.
  CHECK(document().dump().find(R"("enum":[])") == std::string::npos);
}

TEST_CASE("schema: a validator that is not ours takes what loads and refuses what does not",
          "[config][schema][outside]") {
  // python3-jsonschema of Debian 12, draft 2020-12.
  const support::TemporaryDirectory directory;
  support::write_file(directory.file("schema.json"), schema());
  std::vector<std::string> command{"/usr/bin/python3",
                                   support::source_dir() + "/tests/support/validate_schema.py",
                                   directory.file("schema.json")};
  for (const char* name : {"first-tank", "roof-tank", "rain-tank", "header-and-cistern", "orchard", "sensors",
                           "demo/stillwell"}) {
    command.push_back(support::source_dir() + "/config/" + std::string(name) + ".yaml");
  }
  support::write_file(directory.file("base.yaml"), support::kConfigBase);
  command.push_back(directory.file("base.yaml"));
  support::write_file(
      directory.file("told.yaml"),
      support::base_with(
          "lines:\n",
          "notify: { run: [/bin/tell, --loud], for: high, at_most: 5/h, within: 1 min }\nlines:\n"));
  command.push_back(directory.file("told.yaml"));
  const std::string two = support::replaced(
      support::base_with("gauge: header-top", "gauges: [header-top, { gauge: spare, to_floor: 2.9 m }]"),
      "gauges:\n",
      "gauges:\n  spare: { line: shed, station: 2, distance: { table: input, address: 0, as: u16, unit: mm } "
      "}\n");
  CHECK(parse(two, "site.yaml").configuration);
  support::write_file(directory.file("two.yaml"), two);
  command.push_back(directory.file("two.yaml"));
  for (std::size_t i = 0; i < kHeld.size(); ++i) {
    const std::string whole = support::base_with("shape: vertical-cylinder, diameter: 2.4 m", kHeld.at(i));
    CHECK(parse(whole, "site.yaml").configuration);
    command.push_back(directory.file("whole-" + std::to_string(i) + ".yaml"));
    support::write_file(command.back(), whole);
  }
  const std::size_t first_broken = command.size();
  for (std::size_t i = 0; i < kVisible.size(); ++i) {
    const std::string broken = support::base_with(kVisible.at(i).first, kVisible.at(i).second);
    CHECK_FALSE(parse(broken, "site.yaml").configuration);
    command.push_back(directory.file("broken-" + std::to_string(i) + ".yaml"));
    support::write_file(command.back(), broken);
  }
  support::Process validator(command);
  const auto status = validator.wait_exit();
  INFO(validator.err());
  REQUIRE(status == 0);
  for (std::size_t i = 3; i < command.size(); ++i) {
    const bool is_broken = i >= first_broken;
    const auto verdict = validator.wait_line(command[i]);
    REQUIRE(verdict);
    INFO(*verdict << (is_broken ? kVisible.at(i - first_broken).second : ""));
    CHECK(verdict->starts_with(is_broken ? "invalid" : "valid"));
  }
}
