// A message that is delivered twice: a broker does that by the bytes of the DUP flag (MQTT 5.0, 3.3.1.1), and
// no real one does it on demand. So this one speaks real bytes over a real socket as the test tells it.
#include "stillwell/report/mqtt.hpp"

#include <atomic>
#include <mutex>
#include <string>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"
#include "support/scripted_broker.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::eventually;
using support::ScriptedBroker;

TEST_CASE("mqtt commands: what is delivered twice is carried out once", "[report][mqtt][commands]") {
  const ScriptedBroker broker;
  const auto model = support::orchard_model();
  config::Broker options;
  options.host = "127.0.0.1";
  options.port = broker.port();
  options.accept = {config::Accept::mode};
  std::mutex mutex;
  std::string told;
  std::atomic<int> solved = 0;
  const auto tells = [&](const std::string& text) {
    return eventually([&] {
      const std::scoped_lock lock{mutex};
      return told.find(text) != std::string::npos;
    });
  };
  const auto say = [&](const Event& event) {
    const std::scoped_lock lock{mutex};
    told += event.cause + ": " + event.text + "\n";
  };
  const auto solve = [&](const Command& command) {
    ++solved;
    return Answer{command.number, true, "done"};
  };
  Mqtt mqtt{model, options, "0.1.0", say, {.ask = solve}};
  mqtt.show(support::calm_view(model));
  REQUIRE(tells("broker-connected"));
  broker.send(ScriptedBroker::message("homie/5/orchard-lift/pump/mode/set", "off", 1));
  broker.send(ScriptedBroker::message("homie/5/orchard-lift/pump/mode/set", "off", 1, true));
  CHECK(tells("mode: refused: homie/5/orchard-lift/pump/mode/set: it was delivered twice"));
  CHECK(solved == 1);
}
