// Commands through a real mosquitto on 127.0.0.1, sent by a real mosquitto_pub, carried out by the real
// rules.
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <mutex>

#include "support/bench_site.hpp"
#include "support/broker.hpp"
#include "support/catch.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using config::Accept;
using support::Broker;
using support::eventually;
using namespace std::chrono_literals;
using support::Process;

namespace {

const std::string kMode = "homie/5/orchard-lift/pump/mode/set";
const std::string kAcknowledge = "homie/5/orchard/alarms/acknowledge/set";

/// The orchard with low water everywhere: header/low and cistern/low stand, unacknowledged. A command is
/// solved when it comes, as the daemon's scan does, and what becomes of it is published.
class LiveSite {
 public:
  LiveSite(const Broker& broker, const std::set<Accept>& accept)
      : mqtt_{bench_.model,
              to(broker.port(), accept),
              "0.1.0",
              [this](Event event) { heard(std::move(event)); },
              {.ask = [this](Command command) { return solve(std::move(command)); },
               .wall = [] { return std::optional{support::some_stamp()}; }}} {
    bench_.scan_for(std::chrono::seconds{10});
    bench_.levels = {0.2, 0.2};
    bench_.scan_for(std::chrono::seconds{90});
    mqtt_.show(bench_.last.view);
  }
  bool is_ready(std::ptrdiff_t connections = 1) {
    return eventually([&] { return count("broker-connected") == connections; });
  }
  [[nodiscard]] bool connected() const { return mqtt_.connected(); }
  bool tells(const std::string& text, support::Bound bound = support::kPatience) {
    return eventually([&] { return told().find(text) != std::string::npos; }, bound);
  }
  /// Every event of a command, a line each.
  std::string told() {
    const std::scoped_lock lock{mutex_};
    std::string all;
    for (const Event& event : events_)
      if (event.kind == EventKind::command) all += event.of + " " + event.cause + " " + event.text + "\n";
    return all;
  }
  std::ptrdiff_t count(const std::string& cause) {
    const std::scoped_lock lock{mutex_};
    return std::count_if(events_.begin(), events_.end(),
                         [&](const Event& each) { return each.cause == cause; });
  }
  Mode mode_of_lift() {
    const std::scoped_lock lock{mutex_};
    return bench_.last.view.pumps[0].mode;
  }
  std::size_t solved() {
    const std::scoped_lock lock{mutex_};
    return solved_;
  }

 private:
  static config::Broker to(int port, const std::set<Accept>& accept) {
    config::Broker broker;
    broker.host = "127.0.0.1";
    broker.port = port;
    broker.accept = accept;
    return broker;
  }
  Answer solve(Command command) {
    const std::scoped_lock lock{mutex_};
    ++solved_;
    bench_.image.commands.push_back(std::move(command));
    bench_.scan();
    events_.insert(events_.end(), bench_.last.events.begin(), bench_.last.events.end());
    mqtt_.show(bench_.last.view);
    return bench_.last.answers.front();
  }
  void heard(Event event) {
    const std::scoped_lock lock{mutex_};
    events_.push_back(std::move(event));
  }

  std::mutex mutex_;
  std::vector<Event> events_;
  std::size_t solved_ = 0;
  support::SiteBench bench_;
  Mqtt mqtt_;
};

std::string description(const Broker& broker, const std::string& device) {
  return broker.retained("homie/5/" + device + "/$description");
}

}  // namespace

TEST_CASE("mqtt commands: a mode goes through, and its value comes back", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::mode}};
  REQUIRE(site.is_ready());
  const auto live = broker.subscriber("homie/5/orchard-lift/pump/mode");
  broker.publish(kMode, {"-m", "off"});
  CHECK(live->wait_line("pump/mode 0 off"));
  CHECK(site.mode_of_lift() == Mode::off);
  CHECK(site.told() == "lift mode lift is now in mode off (over MQTT).\n");
  CHECK(nlohmann::json::parse(
            description(broker, "orchard-lift"))["nodes"]["pump"]["properties"]["mode"]["settable"] == true);
}

TEST_CASE("mqtt commands: an alarm is acknowledged", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::acknowledge}};
  REQUIRE(site.is_ready());
  const auto live = broker.subscriber("homie/5/+/$alert/+");
  broker.publish(kAcknowledge, {"-m", "header/low"});
  CHECK(
      live->wait_line("orchard-header/$alert/low 0 Header tank: low alarm, the tank runs low, below 0.370 m "
                      "(15.1 %). Save water and look at the supply. Priority medium, acknowledged."));
  CHECK(site.tells("header/low acknowledge header/low acknowledged (over MQTT)."));
}

TEST_CASE("mqtt commands: an alarm is shelved and brought back", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::shelve}};
  REQUIRE(site.is_ready());
  const std::string alert = "homie/5/orchard-header/$alert/low";
  REQUIRE(eventually([&] { return !broker.retained(alert).empty(); }));
  broker.publish("homie/5/orchard/alarms/shelve/set",
                 {"-m", R"({"alarm":"header/low","for":"2 h","because":"cleaning"})"});
  CHECK(eventually([&] { return broker.retained(alert).empty(); }));  // nobody is to be told of it
  CHECK(site.tells("header/low shelve header/low shelved for 2 h: cleaning (over MQTT)."));
  broker.publish("homie/5/orchard/alarms/unshelve/set", {"-m", "header/low"});
  CHECK(site.tells("header/low unshelve header/low is back"));
}

TEST_CASE("mqtt commands: what the rules refuse is told as their refusal", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::reset}};
  REQUIRE(site.is_ready());
  broker.publish("homie/5/orchard-lift/pump/reset/set", {"-m", "true"});
  CHECK(site.tells("lift reset refused: lift is not locked out (over MQTT)."));
}

TEST_CASE("mqtt commands: a retained one is refused, told and cleared", "[report][mqtt][commands]") {
  const Broker broker;
  SECTION("that was there before") {
    broker.publish(kMode, {"-m", "off", "-r"});
    LiveSite site{broker, {Accept::mode, Accept::acknowledge}};
    REQUIRE(site.is_ready());
    CHECK(site.tells("lift mode refused: " + kMode + ": it is retained"));
    CHECK(eventually([&] { return broker.retained(kMode).empty(); }));
    CHECK(site.mode_of_lift() == Mode::automatic);
    CHECK(site.solved() == 0);
  }
  SECTION("that comes while we listen") {
    LiveSite site{broker, {Accept::mode}};
    REQUIRE(site.is_ready());
    broker.publish(kMode, {"-m", "off", "-r"});
    CHECK(site.tells("lift mode refused: " + kMode + ": it is retained"));
    CHECK(eventually([&] { return broker.retained(kMode).empty(); }));
    CHECK(site.mode_of_lift() == Mode::automatic);
    CHECK(site.solved() == 0);
  }
}

TEST_CASE("mqtt commands: what is not accepted is not even listened to", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::acknowledge}};
  REQUIRE(site.is_ready());
  broker.publish(kMode, {"-m", "off"});
  broker.publish(kAcknowledge, {"-m", "all"});
  REQUIRE(site.tells("alarms acknowledged"));
  CHECK(site.solved() == 1);
  CHECK(site.told().find("refused") == std::string::npos);
  CHECK(site.mode_of_lift() == Mode::automatic);
  CHECK(description(broker, "orchard-lift").find("settable") == std::string::npos);
}

TEST_CASE("mqtt commands: a request is carried out once, however often it is sent",
          "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::mode}};
  REQUIRE(site.is_ready());
  for (int i = 0; i < 2; ++i)
    broker.publish(kMode, {"-m", "off", "-D", "publish", "user-property", "request-id", "press 1"});
  CHECK(site.tells("its request-id 'press 1' came before"));
  CHECK(site.solved() == 1);
}

TEST_CASE("mqtt commands: one that was issued long ago is refused", "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::mode}};
  REQUIRE(site.is_ready());
  broker.publish(kMode, {"-m", "off", "-D", "publish", "user-property", "issued-at", "2026-03-01T04:11:00Z"});
  CHECK(site.tells("it was issued at 2026-03-01T04:11:00.000Z, over 30 s ago"));
  CHECK(site.solved() == 0);
}

TEST_CASE("mqtt commands: an overlong one is refused, and the next one is heard",
          "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::mode, Accept::acknowledge}};
  REQUIRE(site.is_ready());
  broker.publish(kMode, {"-m", std::string(50'000, 'x')});
  CHECK(site.tells("it is longer than 64 bytes"));
  CHECK(site.told().size() < 300);
  broker.publish(kAcknowledge, {"-m", "all"});
  CHECK(site.tells("alarms acknowledged"));
}

TEST_CASE("mqtt commands: of a thousand at once few get through, and one that comes after them is heard",
          "[report][mqtt][commands]") {
  const Broker broker;
  LiveSite site{broker, {Accept::mode, Accept::acknowledge}};
  REQUIRE(site.is_ready());
  std::string thousand;
  for (int i = 0; i < 1000; ++i)
    thousand += i % 2 == 0 ? "off\n" : "auto\n";
  broker.publish(kMode, {"-l"}, thousand);
  // While they are worked off, more than may wait are refused unseen (CommandDoor::kWaiting): a person tries
  // again.
  std::size_t tries = 0;
  CHECK(eventually([&] {
    broker.publish(kAcknowledge, {"-m", "all"});
    ++tries;
    return site.tells("alarms acknowledged", 2s);
  }));
  CHECK(site.tells("less than a second after the last one"));
  CHECK(site.solved() <= 10 + tries);  // ten a minute for the lift, and the acknowledgements
  const std::string told = site.told();
  CHECK(std::count(told.begin(), told.end(), '\n') < 20);
}

TEST_CASE("mqtt commands: after the connection was lost they are heard again", "[report][mqtt][commands]") {
  Broker broker;
  LiveSite site{broker, {Accept::mode}};
  REQUIRE(site.is_ready());
  broker.kill();
  REQUIRE(eventually([&] { return !site.connected(); }));
  broker.start();
  REQUIRE(eventually([&] { return broker.retained("homie/5/orchard/$state") == "ready"; }));
  broker.publish(kMode, {"-m", "off"});
  CHECK(site.tells("lift is now in mode off (over MQTT)"));
}
