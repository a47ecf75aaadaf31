// What a home-automation hub makes of us, and what stays at the broker of a site that has changed: with a
// real mosquitto, and read by a client that is not ours.
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <map>
#include <mutex>
#include <sstream>

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/places.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using nlohmann::json;
using support::Broker;
using support::eventually;
using support::Process;

namespace {

/// Its state, its description, the values of its water and its two alarms.
constexpr std::ptrdiff_t kTopicsOfTank = 2 + 15 + 2;

class Told {
 public:
  Mqtt::Say say() {
    return [this](const Event& event) {
      const std::scoped_lock lock{mutex_};
      told_[event.cause] = event.text;
    };
  }
  std::string text(const std::string& cause) {
    const std::scoped_lock lock{mutex_};
    return told_[cause];
  }
  bool will_tell(const std::string& cause) {
    return eventually([&] { return !text(cause).empty(); });
  }

 private:
  std::mutex mutex_;
  std::map<std::string, std::string> told_;
};

config::Broker to(const Broker& broker, config::DiscoveryForm form = config::DiscoveryForm::device) {
  config::Broker options;
  options.host = "127.0.0.1";
  options.port = broker.port();
  options.discovery = config::Discovery{"hub", form, "hub/status"};
  return options;
}

/// One run of a gateway, until it has announced everything.
void run_once(const Broker& broker, const Model& model, const support::TemporaryDirectory& state,
              const config::Broker& options) {
  Told told;
  Mqtt mqtt{model, options, "0.1.0", told.say(), {}, {state.path(), 0}};
  mqtt.show(support::busy_view(model));
  REQUIRE(told.will_tell("broker-connected"));
  REQUIRE(broker.retained("homie/5/orchard/$state") == "ready");
}

/// All topics that are retained now, by a fresh subscriber.
std::vector<std::string> retained_topics(const Broker& broker) {
  const auto reader = broker.subscriber("#", "%t %p");
  std::istringstream text{reader->out()};
  std::vector<std::string> topics;
  for (std::string line; std::getline(text, line);)
    if (!line.starts_with("$SYS/")) topics.push_back(line.substr(0, line.find(' ')));
  return topics;
}

std::ptrdiff_t count_with(const std::vector<std::string>& topics, const std::string& part) {
  return std::ranges::count_if(topics,
                               [&](const auto& topic) { return topic.find(part) != std::string::npos; });
}

std::size_t count_lines(const Process& subscriber, const std::string& start) {
  std::istringstream text{subscriber.out()};
  std::size_t count = 0;
  for (std::string line; std::getline(text, line);)
    if (line.starts_with(start)) ++count;
  return count;
}

/// The hub, and the last line that it said.
class Hub {
 public:
  explicit Hub(const Broker& broker)
      : process_{{"node", support::source_dir() + "/tests/support/hub_reader.js",
                  std::to_string(broker.port()), "hub"},
                 {"NODE_PATH=/usr/share/nodejs"}} {}

  template <class Condition>
  bool will_show(const Condition& condition) {
    return eventually([&] {
      const json shown = last();
      return shown.is_object() && condition(shown["entities"]);
    });
  }
  [[nodiscard]] json last() const {
    const std::string text = process_.out();
    const auto end = text.rfind('\n');
    if (end == std::string::npos) return {};
    const auto begin = text.rfind('\n', end - 1);
    return json::parse(text.substr(begin == std::string::npos ? 0 : begin + 1, end), nullptr, false);
  }
  [[nodiscard]] std::string complaint() const { return process_.err(); }

 private:
  Process process_;
};

}  // namespace

TEST_CASE("mqtt: a hub finds every tank and pump by the documents alone", "[report][mqtt][discovery]") {
  const Broker broker;
  const auto form = GENERATE(config::DiscoveryForm::device, config::DiscoveryForm::entity);
  const auto model = support::orchard_model();
  auto options = to(broker, form);
  options.accept = {config::Accept::mode};
  Told told;
  Mqtt mqtt{model, options, "0.1.0", told.say(), {.ask = [](const Command& command) {
              return Answer{command.number, true, "done"};
            }}};
  auto view = support::busy_view(model);
  view.alarms[0].state = AlarmState::unacknowledged;
  mqtt.show(view);
  Hub hub{broker};
  const auto is = [](const json& entities, const std::string& id, const json& state) {
    return entities.contains(id) && entities[id]["state"] == state;
  };
  const bool found = hub.will_show([&](const json& all) {
    return is(all, "orchard_header_water-level", 1.742) && is(all, "orchard_lift_pump-state", "stopped") &&
           is(all, "orchard_lift_pump-mode", "auto") && is(all, "orchard_header_alarm-low", true) &&
           is(all, "orchard_header_alarm-high", false) && is(all, "orchard_lift_pump-running", false) &&
           all["orchard_header_water-level"]["available"] == true;
  });
  INFO(hub.last().dump(1) << hub.complaint());
  REQUIRE(found);
  const json entities = hub.last()["entities"];
  CHECK(entities["orchard_header_water-level"]["device"] == "Header tank");
  CHECK(entities["orchard_header_water-level"]["unit"] == "m");
  CHECK(entities["orchard_lift_pump-mode"]["platform"] == "select");
  for (const std::string of_tank :
       {"level", "percent", "volume", "usable", "flow", "time-to-full", "quality"})
    CHECK(entities.contains("orchard_header_water-" + of_tank));
  for (const std::string of_pump : {"state", "mode", "lock-out", "run-hours", "starts"})
    CHECK(entities.contains("orchard_lift_pump-" + of_pump));

  // The gauge is gone: its values are unavailable and not old, and the alarm is there all the more.
  view.tanks[0] = support::tank_gone(view.tanks[0], Reason::no_answer);
  mqtt.show(view);
  CHECK(hub.will_show([&](const json& all) {
    return all["orchard_header_water-level"]["available"] == false &&
           all["orchard_cistern_water-level"]["available"] == true &&
           all["orchard_header_alarm-low"]["available"] == true &&
           is(all, "orchard_header_water-flow", nullptr);
  }));
  CHECK(hub.last()["problems"].empty());
}

TEST_CASE("mqtt: a hub that comes back is told everything again, and once", "[report][mqtt][discovery]") {
  const Broker broker;
  const auto model = support::orchard_model();
  Told told;
  Mqtt mqtt{model, to(broker), "0.1.0", told.say()};
  mqtt.show(support::calm_view(model));
  REQUIRE(told.will_tell("broker-connected"));
  const auto live = broker.subscriber("#", "%r %t %p");
  for (int birth = 0; birth < 5; ++birth)
    broker.publish("hub/status", {"-m", "online"});
  broker.publish("hub/status", {"-m", "offline"});
  REQUIRE(live->wait_line("0 hub/device/orchard_bore/config"));
  REQUIRE(live->wait_line("0 homie/5/orchard-header/water/level"));
  REQUIRE(live->wait_line("0 homie/5/orchard/gateway/instance"));
  CHECK(count_lines(*live, "0 hub/device/orchard_header/config") == 1);
  CHECK(count_lines(*live, "0 homie/5/orchard-header/water/level") == 1);
  CHECK(count_lines(*live, "0 homie/5/orchard-header/$description") == 0);  // it may not change while ready
}

TEST_CASE("mqtt: a tank that is renamed or removed leaves nothing behind", "[report][mqtt][manifest]") {
  const Broker broker;
  const support::TemporaryDirectory state;
  auto model = support::orchard_model();
  run_once(broker, model, state, to(broker));
  CHECK(count_with(retained_topics(broker), "orchard-cistern") == kTopicsOfTank);
  CHECK(count_with(retained_topics(broker), "orchard_cistern") == 1);
  SECTION("renamed") {
    model.tanks[1].id = "pond";
    run_once(broker, model, state, to(broker));
    const auto topics = retained_topics(broker);
    CHECK(count_with(topics, "orchard-cistern") == 0);
    CHECK(count_with(topics, "orchard_cistern") == 0);
    CHECK(count_with(topics, "homie/5/orchard-pond/") == kTopicsOfTank);
    CHECK(count_with(topics, "hub/device/orchard_pond/config") == 1);
  }
  SECTION("documents no longer wanted") {
    auto plain = to(broker);
    plain.discovery.reset();
    run_once(broker, model, state, plain);
    CHECK(count_with(retained_topics(broker), "hub/") == 0);
    CHECK(count_with(retained_topics(broker), "orchard-cistern") == kTopicsOfTank);
  }
  SECTION("the other form of documents") {
    const auto live = broker.subscriber("hub/#", "%t %p");
    run_once(broker, model, state, to(broker, config::DiscoveryForm::entity));
    CHECK(live->wait_line("hub/device/orchard_header/config {\"migrate_discovery\": true}"));
    const auto topics = retained_topics(broker);
    CHECK(count_with(topics, "hub/device/") == 0);
    CHECK(count_with(topics, "hub/sensor/orchard/header_water-level/config") == 1);
  }
  SECTION("others' topics are none of our business") {
    for (const char* topic : {"homie/5/vineyard-cistern/$state", "hub/device/vineyard_cistern/config"})
      broker.publish(topic, {"-m", "ready", "-r"});
    model.tanks[1].id = "pond";
    run_once(broker, model, state, to(broker));
    CHECK(count_with(retained_topics(broker), "vineyard") == 2);
  }
}

TEST_CASE("mqtt: what is refused is in the log of its device, and not retained", "[report][mqtt][commands]") {
  const Broker broker;
  const auto model = support::orchard_model();
  auto options = to(broker);
  options.accept = {config::Accept::mode};
  Told told;
  const auto never = [](const Command& command) {
    return Answer{command.number, false, "Lift pump stays off: it was switched off at the panel"};
  };
  Mqtt mqtt{model, options, "0.1.0", told.say(), {.ask = never}};
  mqtt.show(support::calm_view(model));
  REQUIRE(told.will_tell("broker-connected"));
  const auto live = broker.subscriber("homie/5/+/$log/#", "%r %t %p");
  broker.publish("homie/5/orchard-lift/pump/mode/set", {"-m", "sideways"});
  CHECK(live->wait_line("0 homie/5/orchard-lift/$log/warn refused: homie/5/orchard-lift/pump/mode/set"));
  broker.publish("homie/5/orchard-lift/pump/mode/set", {"-m", "auto"});
  CHECK(live->wait_line("0 homie/5/orchard-lift/$log/warn Lift pump stays off: it was switched off at"));
  CHECK(broker.retained("homie/5/orchard-lift/$log/warn").empty());
}

TEST_CASE("mqtt: a second gateway of the same name is noticed", "[report][mqtt]") {
  const Broker broker;
  const auto model = support::orchard_model();
  Told told;
  auto options = to(broker);
  Mqtt mqtt{model, options, "0.1.0", told.say()};
  mqtt.show(support::calm_view(model));
  REQUIRE(told.will_tell("broker-connected"));
  SECTION("on another machine, connected beside us") {
    broker.publish("homie/5/orchard/gateway/instance", {"-m", "c0ffee", "-r"});
    REQUIRE(told.will_tell("site-twice"));
    CHECK(told.text("site-twice").find("`orchard`") != std::string::npos);
    CHECK(told.text("site-twice").find("machine id") != std::string::npos);
  }
  SECTION("on a copy of the same card, with the same client id: each throws the other out") {
    Told of_copy;
    Mqtt copy{model, options, "0.1.0", of_copy.say()};
    copy.show(support::calm_view(model));
    CHECK(
        eventually([&] { return !told.text("site-twice").empty() || !of_copy.text("site-twice").empty(); }));
  }
}

TEST_CASE("mqtt: the run before is not taken for another gateway", "[report][mqtt]") {
  Broker broker;
  const support::TemporaryDirectory state;
  const auto model = support::orchard_model();
  run_once(broker, model, state, to(broker));
  Told told;
  Mqtt mqtt{model, to(broker), "0.1.0", told.say(), {}, {state.path(), 0}};
  auto view = support::calm_view(model);
  mqtt.show(view);
  REQUIRE(told.will_tell("broker-connected"));
  // Whatever came of what was retained came before the answer to something that was published after it.
  view.pumps[0].state = PumpState::running;
  mqtt.show(view);
  REQUIRE(eventually([&] { return broker.retained("homie/5/orchard-lift/pump/state") == "running"; }));
  CHECK(told.text("site-twice").empty());
}

TEST_CASE("mqtt: what an access list keeps from being deleted is deleted once it lets us",
          "[report][mqtt][manifest]") {
  const support::TemporaryDirectory state;
  const support::TemporaryDirectory rules;
  const std::string all = "topic readwrite #\ntopic read $SYS/#\n";
  support::write_file(rules.file("acl"), all);
  Broker broker{
      {"acl_file " + rules.file("acl"), "persistence true", "persistence_location " + rules.path() + "/"}};
  const auto again_with = [&](const std::string& acl) {
    broker.stop();
    support::write_file(rules.file("acl"), acl);
    broker.start();
  };
  auto model = support::orchard_model();
  auto options = to(broker);
  options.discovery.reset();
  run_once(broker, model, state, options);
  model.tanks[1].id = "pond";
  again_with(
      "topic readwrite homie/5/orchard/#\ntopic readwrite homie/5/orchard-header/#\ntopic readwrite "
      "homie/5/orchard-pond/#\ntopic readwrite homie/5/orchard-lift/#\ntopic readwrite "
      "homie/5/orchard-bore/#\ntopic read #\ntopic read $SYS/#\n");
  {
    Told told;
    Mqtt mqtt{model, options, "0.1.0", told.say(), {}, {state.path(), 0}};
    mqtt.show(support::calm_view(model));
    REQUIRE(told.will_tell("broker-connected"));
    CHECK(told.text("topics-left").find("homie/5/orchard-cistern/") != std::string::npos);
    CHECK(count_with(retained_topics(broker), "orchard-cistern") == kTopicsOfTank);
  }
  again_with(all);
  run_once(broker, model, state, options);
  CHECK(count_with(retained_topics(broker), "orchard-cistern") == 0);
}

TEST_CASE("mqtt: a broker that forgets what it had not saved brings no second gateway about",
          "[report][mqtt]") {
  const support::TemporaryDirectory disk;
  Broker broker{{"persistence true", "persistence_location " + disk.path() + "/"}};
  const support::TemporaryDirectory state;
  const auto model = support::orchard_model();
  run_once(broker, model, state, to(broker));
  const auto before = broker.retained("homie/5/orchard/gateway/instance");
  broker.stop();  // it saves
  broker.start();
  CHECK(broker.retained("homie/5/orchard/gateway/instance") == before);
  Told told;
  Mqtt mqtt{model, to(broker), "0.1.0", told.say(), {}, {state.path(), 0}};
  mqtt.show(support::calm_view(model));
  REQUIRE(told.will_tell("broker-connected"));
  const auto own = broker.retained("homie/5/orchard/gateway/instance");
  CHECK(own != before);
  broker.kill();  // it does not, and has the instance of the run before
  REQUIRE(eventually([&] { return !mqtt.connected(); }));
  broker.start();
  REQUIRE(eventually([&] { return broker.retained("homie/5/orchard/gateway/instance") == own; }));
  REQUIRE(eventually([&] { return broker.retained("homie/5/orchard/$state") == "ready"; }));
  CHECK(told.text("site-twice").empty());
}
