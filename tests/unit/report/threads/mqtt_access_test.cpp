// Who the broker lets in: passwords and access lists, with a real mosquitto on 127.0.0.1. (Certificates:
// mqtt_tls_test.cpp.)
#include "stillwell/report/mqtt.hpp"
#include "stillwell/report/mqtt_client.hpp"

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/publisher.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::Broker;
using support::eventually;
using support::Process;
using support::Publisher;
using support::TemporaryDirectory;

namespace {

void run(const std::vector<std::string>& argv) {
  Process process{argv};
  INFO(argv[0] << ' ' << argv[1]);
  const auto code = process.wait_exit();
  INFO(process.err());
  REQUIRE(code == 0);
}

config::Broker as(const std::string& user, const std::string& password_file, int port) {
  config::Broker broker;
  broker.host = "127.0.0.1";
  broker.port = port;
  broker.user = user;
  broker.password_file = password_file;
  return broker;
}

}  // namespace

TEST_CASE("mqtt: a password is read from its file, and a wrong one is said clearly", "[report][mqtt]") {
  const TemporaryDirectory secrets;
  run({"mosquitto_passwd", "-c", "-b", secrets.file("users"), "orchard", "right password"});
  const Broker broker{{"allow_anonymous false", "password_file " + secrets.file("users")}};
  SECTION("right") {
    support::write_file(secrets.file("password"), "right password\n");
    Publisher publisher{as("orchard", secrets.file("password"), broker.port())};
    CHECK(publisher.will_tell("broker-connected"));
  }
  SECTION("wrong") {
    support::write_file(secrets.file("password"), "wrong password\n");
    Publisher publisher{as("orchard", secrets.file("password"), broker.port())};
    REQUIRE(publisher.will_tell("broker-refused"));
    CHECK(publisher.told("broker-refused").find("the user `orchard`") != std::string::npos);
    CHECK(publisher.told("broker-refused").find("password_file") != std::string::npos);
    CHECK(publisher.told("broker-refused").find("wrong password") == std::string::npos);
    CHECK_FALSE(publisher.mqtt().connected());
  }
  SECTION("no such file") {
    Publisher publisher{as("orchard", secrets.file("none"), broker.port())};
    REQUIRE(publisher.will_tell("broker-misconfigured"));
    CHECK(publisher.told("broker-misconfigured").find(secrets.file("none")) != std::string::npos);
  }
  SECTION("a variable that is not set") {
    auto options = as("orchard", "", broker.port());
    options.unset_variable = "CREDENTIALS_DIRECTORY";
    Publisher publisher{options};
    REQUIRE(publisher.will_tell("broker-misconfigured"));
    CHECK(publisher.told("broker-misconfigured").find("${CREDENTIALS_DIRECTORY}") != std::string::npos);
  }
}

TEST_CASE("mqtt: what the broker's access list forbids does not stop the rest", "[report][mqtt]") {
  const TemporaryDirectory rules;
  support::write_file(
      rules.file("acl"),
      "topic read $SYS/#\ntopic readwrite homie/5/orchard/#\ntopic readwrite homie/5/orchard-header/#\n");
  const Broker broker{{"acl_file " + rules.file("acl")}};
  Publisher publisher{as("", "", broker.port())};
  REQUIRE(publisher.will_tell("broker-connected"));
  publisher.mqtt().send({support::some_stamp(), 1, {EventKind::trip, "lift", "source-low", "denied", {}}});
  auto view = support::calm_view(publisher.model());
  view.tanks[0] = support::tank_at(publisher.model().tanks[0], Metres{1.5});
  publisher.mqtt().show(view);
  CHECK(eventually([&] { return broker.retained("homie/5/orchard-header/water/level") == "1.500"; }));
  CHECK(broker.retained("homie/5/orchard/$state") == "ready");
  CHECK(publisher.mqtt().connected());
}

TEST_CASE("mqtt: without TLS a broker that is not there is not blamed on a certificate", "[report][mqtt]") {
  const int port = [] { return Broker{}.port(); }();  // nobody listens there any more
  Publisher publisher{as("", "", port)};
  REQUIRE(publisher.will_tell("broker-away"));
  CHECK(publisher.told("broker-away").find("it cannot be reached") != std::string::npos);
  CHECK(publisher.told("broker-away").find("certificate") == std::string::npos);
}

TEST_CASE("mqtt: the client's name is stable, and another for another site", "[report][mqtt]") {
  CHECK(client_id_of("orchard") == client_id_of("orchard"));
  CHECK(client_id_of("orchard") != client_id_of("vineyard"));
  CHECK(client_id_of("orchard").rfind("stillwell-orchard-", 0) == 0);
}
