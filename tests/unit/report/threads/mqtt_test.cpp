// Against a real mosquitto on 127.0.0.1, read by a real mosquitto_sub.
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <mutex>
#include <sstream>

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using support::Broker;
using support::eventually;

namespace {

config::Broker to(int port) {
  config::Broker broker;
  broker.host = "127.0.0.1";
  broker.port = port;
  return broker;
}

/// What the publisher says of its connection.
class Heard {
 public:
  Mqtt::Say say() {
    return [this](Event event) {
      const std::scoped_lock lock{mutex_};
      events_.push_back(std::move(event));
    };
  }
  std::size_t count(const std::string& cause) {
    const std::scoped_lock lock{mutex_};
    return static_cast<std::size_t>(std::count_if(events_.begin(), events_.end(),
                                                  [&](const Event& event) { return event.cause == cause; }));
  }
  std::string text(const std::string& cause) {
    const std::scoped_lock lock{mutex_};
    const auto found = std::find_if(events_.begin(), events_.end(),
                                    [&](const Event& event) { return event.cause == cause; });
    return found == events_.end() ? "" : found->text;
  }

 private:
  std::mutex mutex_;
  std::vector<Event> events_;
};

Entry entry(std::uint64_t seq) {
  return {support::some_stamp(), seq, {EventKind::trip, "lift", "source-low", "Lift pump tripped.", {}}};
}

std::vector<std::uint64_t> numbers_in(const support::Process& subscriber) {
  std::vector<std::uint64_t> numbers;
  std::istringstream lines{subscriber.out()};
  for (std::string line; std::getline(lines, line);) {
    const auto event = nlohmann::json::parse(line, nullptr, false);
    if (event.is_object()) numbers.push_back(event["seq"].get<std::uint64_t>());
  }
  return numbers;
}

/// The topics and payloads a subscriber saw, in order of arrival.
std::vector<std::string> lines_of(const support::Process& subscriber) {
  std::vector<std::string> lines;
  std::istringstream text{subscriber.out()};
  for (std::string line; std::getline(text, line);)
    lines.push_back(line);
  return lines;
}

std::ptrdiff_t place_of(const std::vector<std::string>& lines, const std::string& start) {
  const auto found = std::find_if(lines.begin(), lines.end(),
                                  [&](const std::string& line) { return line.rfind(start, 0) == 0; });
  INFO(start);
  REQUIRE(found != lines.end());
  return found - lines.begin();
}

struct Site {
  Model model = support::orchard_model();
  Heard heard;
};

}  // namespace

TEST_CASE("mqtt: everything is announced in order and stays for those who come later", "[report][mqtt]") {
  const Broker broker;
  const auto live = broker.subscriber("homie/5/#");
  Site site;
  Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
  mqtt.show(support::calm_view(site.model));
  REQUIRE(live->wait_line("homie/5/orchard/$state 0 ready"));
  CHECK(mqtt.connected());
  CHECK(eventually([&] { return site.heard.count("broker-connected") == 1; }));

  const auto lines = lines_of(*live);
  CHECK(place_of(lines, "homie/5/orchard/$state 0 init") <
        place_of(lines, "homie/5/orchard-header/$state 0 init"));
  CHECK(place_of(lines, "homie/5/orchard-header/$description") <
        place_of(lines, "homie/5/orchard-header/water/level 0 1.742"));
  CHECK(place_of(lines, "homie/5/orchard-header/$state 0 ready") <
        place_of(lines, "homie/5/orchard/$state 0 ready"));

  CHECK(broker.retained("homie/5/orchard/$state") == "ready");
  CHECK(broker.retained("homie/5/orchard-header/water/level") == "1.742");
  CHECK(broker.retained("homie/5/orchard-lift/pump/state") == "stopped");
  const auto description = nlohmann::json::parse(broker.retained("homie/5/orchard/$description"));
  CHECK(description["children"].size() == 4);
}

TEST_CASE("mqtt: a change is published, retained, and nothing else", "[report][mqtt]") {
  const Broker broker;
  Site site;
  Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
  auto view = support::calm_view(site.model);
  mqtt.show(view);
  REQUIRE(eventually([&] { return site.heard.count("broker-connected") == 1; }));
  const auto live = broker.subscriber("homie/5/#", "%r %t %p");
  view.alarms[0].state = AlarmState::unacknowledged;
  view.pumps[0].state = PumpState::tripped;
  mqtt.show(view);
  REQUIRE(live->wait_line("0 homie/5/orchard-lift/pump/state tripped"));
  REQUIRE(live->wait_line("0 homie/5/orchard-header/$alert/low Header tank: low alarm"));
  const auto lines = lines_of(*live);
  CHECK(std::count_if(lines.begin(), lines.end(), [](const auto& line) {
          return line.rfind("0 homie", 0) == 0 && line.find("/uptime") == std::string::npos;
        }) == 3);  // the alarm has a state of its own beside its alert
  CHECK(broker.retained("homie/5/orchard-lift/pump/state") == "tripped");

  view.alarms[0].state = AlarmState::normal;
  mqtt.show(view);
  CHECK(eventually([&] { return broker.retained("homie/5/orchard-header/$alert/low").empty(); }));
}

TEST_CASE("mqtt: events arrive as journal lines, in the order of their numbers", "[report][mqtt]") {
  const Broker broker;
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  Site site;
  Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
  for (std::uint64_t seq = 1; seq <= 30; ++seq)
    mqtt.send(entry(seq));  // before there is a connection
  REQUIRE(live->wait_line("\"seq\":30"));
  CHECK(live->wait_line("\"seq\":1,") == to_line(entry(1)));
  std::vector<std::uint64_t> expected(30);
  std::generate(expected.begin(), expected.end(), [n = 0ULL]() mutable { return ++n; });
  CHECK(numbers_in(*live) == expected);
}

TEST_CASE("mqtt: what was told while the broker was away is sent by the daemon after",
          "[report][mqtt][events]") {
  Broker broker;
  const support::TemporaryDirectory state;
  Site site;
  Journal journal{{.directory = state.path()}};
  const auto tell = [&](Mqtt& mqtt, std::uint64_t from, std::uint64_t to) {
    for (std::uint64_t seq = from; seq <= to; ++seq) {
      REQUIRE_FALSE(journal.append(entry(seq)).has_value());
      mqtt.send(entry(seq));
    }
  };
  {
    const auto live = broker.subscriber("stillwell/orchard/events", "%p");
    Mqtt mqtt{
        site.model, to(broker.port()), "0.1.0", site.heard.say(), {}, {state.path(), journal.newest_seq()}};
    tell(mqtt, 1, 3);
    REQUIRE(live->wait_line("\"seq\":3"));
    broker.kill();
    REQUIRE(eventually([&] { return !mqtt.connected(); }));
    tell(mqtt, 4, 1200);  // more than the memory holds
  }
  broker.start();
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  Mqtt mqtt{
      site.model, to(broker.port()), "0.1.0", site.heard.say(), {}, {state.path(), journal.newest_seq()}};
  mqtt.show(support::calm_view(site.model));
  tell(mqtt, 1201, 1203);
  REQUIRE(live->wait_line("\"seq\":1203"));
  const auto numbers = numbers_in(*live);
  std::vector<std::uint64_t> expected;
  for (std::uint64_t seq = numbers.front(); seq <= 1203; ++seq)
    expected.push_back(seq);
  CHECK(numbers == expected);
  CHECK(numbers.front() <= 4);  // at least once
  CHECK(site.heard.count("events-lost") == 0);
}

TEST_CASE("mqtt: a broker that comes late is found, and one that lost its memory is told everything",
          "[report][mqtt]") {
  Broker broker;
  broker.kill();
  Site site;
  Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
  auto view = support::calm_view(site.model);
  mqtt.show(view);
  REQUIRE(eventually([&] { return site.heard.count("broker-away") == 1; }));
  CHECK(site.heard.text("broker-away").find("127.0.0.1:" + std::to_string(broker.port())) !=
        std::string::npos);
  CHECK_FALSE(mqtt.connected());

  broker.start();
  REQUIRE(eventually([&] { return broker.retained("homie/5/orchard/$state") == "ready"; }));

  broker.kill();
  REQUIRE(eventually([&] { return !mqtt.connected(); }));
  view.tanks[0] = support::tank_at(site.model.tanks[0], Metres{1.5});
  mqtt.show(view);
  mqtt.send(entry(7));
  mqtt.send(entry(8));
  broker.start();
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  REQUIRE(live->wait_line("\"seq\":8"));
  CHECK(numbers_in(*live) == std::vector<std::uint64_t>{7, 8});
  CHECK(broker.retained("homie/5/orchard/$state") == "ready");
  CHECK(broker.retained("homie/5/orchard-header/water/level") == "1.500");
  CHECK_FALSE(broker.retained("homie/5/orchard-cistern/$description").empty());
}

TEST_CASE("mqtt: a clean end says disconnected, with the last values and without the will",
          "[report][mqtt]") {
  const Broker broker;
  const auto live = broker.subscriber("homie/5/orchard/$state");
  Site site;
  {
    Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
    auto view = support::calm_view(site.model);
    view.pumps[0].state = PumpState::running;
    mqtt.show(view);
    REQUIRE(live->wait_line("ready"));
    view.pumps[0].state = PumpState::stopped;
    mqtt.show(view);
  }
  REQUIRE(live->wait_line("disconnected"));
  CHECK(broker.retained("homie/5/orchard/$state") == "disconnected");
  CHECK(broker.retained("homie/5/orchard-header/$state") == "disconnected");
  CHECK(broker.retained("homie/5/orchard-lift/pump/state") == "stopped");
  CHECK(live->out().find("lost") == std::string::npos);
}

TEST_CASE("mqtt: the part of the test for the last will that is killed", "[.][victim]") {
  const char* const port = std::getenv("STILLWELL_TEST_PORT");
  REQUIRE(port != nullptr);
  Site site;
  Mqtt mqtt{site.model, to(std::stoi(port)), "0.1.0", site.heard.say()};
  mqtt.show(support::calm_view(site.model));
  eventually([] { return false; });  // until it is killed
}

TEST_CASE("mqtt: a daemon that dies is called lost by the broker", "[report][mqtt]") {
  const Broker broker;
  const auto live = broker.subscriber("homie/5/orchard/$state");
  support::Process victim{{"/proc/self/exe", "[victim]"},
                          {"STILLWELL_TEST_PORT=" + std::to_string(broker.port())}};
  REQUIRE(live->wait_line("ready"));
  victim.signal(SIGKILL);
  REQUIRE(live->wait_line("lost"));  // after the will's delay of five seconds
  CHECK(broker.retained("homie/5/orchard/$state") == "lost");
}

TEST_CASE("mqtt: a broker that freezes holds nobody up, and dropped events are counted", "[report][mqtt]") {
  Broker broker;
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  Site site;
  Mqtt mqtt{site.model, to(broker.port()), "0.1.0", site.heard.say()};
  mqtt.show(support::calm_view(site.model));
  REQUIRE(eventually([&] { return site.heard.count("broker-connected") == 1; }));
  broker.freeze(true);
  for (std::uint64_t seq = 1; seq <= 1500; ++seq)
    mqtt.send(entry(seq));
  broker.freeze(false);
  REQUIRE(live->wait_line("\"seq\":1500"));
  REQUIRE(eventually([&] { return site.heard.count("events-lost") == 1; }));
  CHECK(site.heard.text("events-lost").find("the oldest ") != std::string::npos);
  const auto numbers = numbers_in(*live);
  CHECK(numbers.size() >= 1000);
  CHECK(numbers.size() < 1500);
  CHECK(std::is_sorted(numbers.begin(), numbers.end()));
}
