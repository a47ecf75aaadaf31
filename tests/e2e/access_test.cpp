// The broker that is shipped in config/broker, with the real daemon over TLS: everybody gets through with
// what is theirs, and with nothing else.

#include <sstream>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/certificates.hpp"
#include "support/gateway.hpp"
#include "support/places.hpp"

using support::Broker;
using support::Certificates;
using support::eventually;
using support::Gateway;
using support::Process;

namespace {

void replace(std::string& text, const std::string& what, const std::string& by) {
  const auto at = text.find(what);
  INFO(what);
  REQUIRE(at != std::string::npos);
  text.replace(at, what.size(), by);
}

/// The shipped files, but for their places and the port, and a password for each of the three users.
class ShippedBroker {
 public:
  ShippedBroker() : broker_{lines()} {}

  /// A mosquitto client of a user. `-d` tells when it is subscribed.
  [[nodiscard]] std::vector<std::string> client(const std::string& program, const std::string& user,
                                                const std::string& topic) const {
    return {"stdbuf",
            "-oL",
            program,
            "-h",
            "localhost",
            "-p",
            std::to_string(broker_.port()),
            "--cafile",
            certificates_.file("ca"),
            "-u",
            user,
            "-P",
            "of " + user,
            "-V",
            "5",
            "-q",
            "1",
            "-d",
            "-t",
            topic};
  }
  [[nodiscard]] std::unique_ptr<Process> reader(const std::string& user, const std::string& filter) const {
    auto argv = client("mosquitto_sub", user, filter);
    argv.insert(argv.end(), {"-F", "%t %p"});
    auto process = std::make_unique<Process>(argv);
    REQUIRE(process->wait_line("Subscribed"));
    return process;
  }
  /// Whether the broker took it; a refusal is in its answer (MQTT 5.0, 3.4.2.1).
  [[nodiscard]] bool takes(const std::string& user, const std::string& topic, const std::string& text) const {
    auto argv = client("mosquitto_pub", user, topic);
    argv.insert(argv.end(), {"-m", text});
    Process sender{argv};
    REQUIRE(sender.wait_exit());
    REQUIRE(sender.wait_line("received PUBACK"));
    return (sender.out() + sender.err()).find("Not authorized") == std::string::npos;
  }
  /// What the daemon must be told to find it.
  [[nodiscard]] Gateway::Edits edits() const {
    return {{"  url: mqtt://127.0.0.1:18830\n",
             "  url: mqtts://localhost:" + std::to_string(broker_.port()) + "\n  ca: " +
                 certificates_.file("ca") + "\n  user: orchard\n  password_file: " + place_.file("password") +
                 "\n  accept: [acknowledge, silence, mode]\n"}};
  }

 private:
  std::vector<std::string> lines() {
    const std::string shipped = support::source_dir() + "/config/broker/";
    support::write_file(place_.file("password"), "of orchard\n");
    support::write_file(place_.file("passwords"), "");
    for (const std::string user : {"orchard", "hub", "logger"}) {
      Process hash{{"mosquitto_passwd", "-b", place_.file("passwords"), user, "of " + user}};
      REQUIRE(hash.wait_exit() == 0);
    }
    std::string text = support::read_file(shipped + "mosquitto.conf");
    replace(text, "\nlistener 8883\n", "\n");  // the test's broker has its own
    replace(text, "cafile /etc/mosquitto/certs/ca.pem", "cafile " + certificates_.file("ca"));
    replace(text, "certfile /etc/mosquitto/certs/broker.pem", "certfile " + certificates_.file("broker"));
    replace(text, "keyfile /etc/mosquitto/certs/broker.key", "keyfile " + certificates_.key("broker"));
    replace(text, "password_file /etc/mosquitto/stillwell-passwords",
            "password_file " + place_.file("passwords"));
    replace(text, "acl_file /etc/mosquitto/stillwell-access-list", "acl_file " + shipped + "access-list");
    std::vector<std::string> lines;
    std::istringstream stream{text};
    for (std::string line; std::getline(stream, line);)
      lines.push_back(line);
    return lines;
  }

  Certificates certificates_;
  support::TemporaryDirectory place_;
  Broker broker_;
};

const std::string kLift = "homie/5/orchard-lift/pump/mode";
const std::string kBore = "homie/5/orchard-bore/pump/mode";
const std::string kEvents = "stillwell/orchard/events";

}  // namespace

TEST_CASE("access: with the shipped broker everybody gets through with what is theirs, and no further",
          "[e2e][access]") {
  const ShippedBroker broker;
  const auto hub = broker.reader("hub", "homie/#");
  const auto log = broker.reader("logger", "#");
  Gateway gateway{Gateway::With::broker, broker.edits()};
  REQUIRE(hub->wait_line("homie/5/orchard/$state ready"));
  for (const std::string device : {"header", "cistern", "bore-well", "sump", "lift", "bore", "drain"}) {
    INFO(device);
    CHECK(hub->wait_line("homie/5/orchard-" + device + "/$state ready"));
  }

  CHECK_FALSE(broker.takes("hub", kBore + "/set", "off"));
  CHECK_FALSE(broker.takes("hub", kLift, "off"));  // a value that only the gateway knows
  CHECK_FALSE(broker.takes("logger", kLift + "/set", "off"));
  CHECK_FALSE(broker.takes("hub", kEvents, "forged"));
  CHECK_FALSE(broker.takes("logger", kEvents, "forged"));
  CHECK_FALSE(broker.takes("orchard", "homie/5/vineyard/$state", "lost"));
  CHECK(broker.takes("hub", "discovery/status", "online"));
  CHECK(broker.takes("hub", kLift + "/set", "off"));

  CHECK(hub->wait_line(kLift + " off"));
  CHECK(log->wait_line(R"("of":"lift","cause":"mode")"));
  CHECK(gateway.status("/pumps/1/mode") == "auto");
  CHECK(gateway.status("/pumps/0/mode") == "off");
  CHECK(gateway.daemon().err().find("does not let us") == std::string::npos);
  CHECK(log->out().find("forged") == std::string::npos);
  CHECK(log->out().find("homie/") == std::string::npos);  // though it asked for everything
}
