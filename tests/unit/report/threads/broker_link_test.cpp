// What the worker is told of its connection, when the connection misbehaves.
#include "stillwell/report/broker_link.hpp"

#include <algorithm>
#include <atomic>
#include <string>
#include <vector>

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/scripted_broker.hpp"

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using support::Broker;
using support::eventually;

namespace {

config::Broker to(int port) {
  config::Broker broker;
  broker.host = "127.0.0.1";
  broker.port = port;
  return broker;
}

/// A link and what its story tells. It is looked after by the test's thread, as by the worker.
class Watched {
 public:
  explicit Watched(int port, std::chrono::steady_clock::duration silence = 60s)
      : story_{"orchard", to(port), [this](const Event& event) { told_.push_back(event.text); }},
        link_{to(port),
              {.identity = {"stillwell-test", {"homie/5/orchard/$state", "lost", true}},
               .wake = [] {},
               .arrived = [](const Incoming&) {},
               .silence = silence},
              story_} {}
  ~Watched() { link_.close(); }
  Watched(const Watched&) = delete;
  Watched& operator=(const Watched&) = delete;

  BrokerLink& link() { return link_; }
  template <class Condition>
  bool looks_until(const Condition& condition) {
    return eventually([&] {
      link_.look(false);
      return condition();
    });
  }
  [[nodiscard]] bool told(const std::string& part) const {
    return std::any_of(told_.begin(), told_.end(),
                       [&](const std::string& text) { return text.find(part) != std::string::npos; });
  }

 private:
  std::vector<std::string> told_;
  BrokerStory story_;
  BrokerLink link_;
};

}  // namespace

TEST_CASE("broker link: a connection that is lost before anybody took note of it leaves no news behind",
          "[report][mqtt]") {
  std::atomic<bool> lets_in = true;
  support::ScriptedBroker broker{[&](const std::string& packet) {
    return lets_in ? support::ScriptedBroker::honest(packet) : std::string{};
  }};
  Watched watched{broker.port()};
  watched.link().look(false);
  REQUIRE(eventually([&] { return watched.link().is_up(); }));
  REQUIRE(watched.link().has_news());
  lets_in = false;
  REQUIRE(broker.send({"\xE0\x00", 2}));  // DISCONNECT (MQTT 5.0, 3.14), and no CONNACK any more
  REQUIRE(watched.looks_until([&] { return !watched.link().is_up(); }));
  REQUIRE(watched.looks_until([&] { return watched.told("the connection was lost"); }));
  CHECK_FALSE(watched.link().has_news());
  CHECK_FALSE(watched.link().take_connected());
}

TEST_CASE("broker link: a connection that comes after long is not blamed for the silence before it",
          "[report][mqtt]") {
  constexpr auto kSilence = 1s;
  Broker broker;
  Watched watched{broker.port(), kSilence};
  REQUIRE(watched.looks_until([&] { return watched.link().take_connected(); }));
  broker.kill();
  const auto since = std::chrono::steady_clock::now();
  REQUIRE(watched.looks_until([&] { return !watched.link().is_up(); }));
  REQUIRE(watched.looks_until([&] { return std::chrono::steady_clock::now() - since > 2 * kSilence; }));
  broker.start();
  REQUIRE(eventually([&] { return watched.link().is_up(); }));
  watched.link().look(false);
  CHECK(watched.link().is_up());
  CHECK_FALSE(watched.told("no acknowledgement"));
  SECTION("but for its own") {
    REQUIRE(watched.link().take_connected());
    broker.freeze(true);
    CHECK(watched.looks_until([&] { return !watched.link().is_up(); }));  // it is given up
    broker.freeze(false);
  }
}
