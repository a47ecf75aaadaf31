// TLS with a real mosquitto and real certificates: who is talked to, who is not, and whether the user is told
// plainly why and what to do.
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <cstdlib>
#include <sstream>

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/certificates.hpp"
#include "support/publisher.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::Broker;
using support::Certificates;
using support::over_tls;
using support::Process;
using support::Publisher;

namespace {

/// What the user is told of a broker that is not talked to.
std::string told_of(const config::Broker& broker, const std::string& cause = "broker-untrusted") {
  Publisher publisher{broker};
  REQUIRE(publisher.will_tell(cause));
  CHECK_FALSE(publisher.mqtt().connected());
  CHECK(publisher.told("broker-connected").empty());
  return publisher.told(cause);
}

constexpr const char* kWanted = "it wants a certificate of the gateway's own: set `cert` and `key`";

bool holds(const std::string& text, const std::string& part) {
  UNSCOPED_INFO(text);
  return text.find(part) != std::string::npos;
}

/// A server that can do what today's brokers will not: openssl(1), whose input stays open as long as it.
class OldServer {
 public:
  OldServer(const Certificates& certificates, const std::string& version,
            const std::vector<std::string>& options = {})
      : port_{support::free_port()},
        server_{with(options, {"openssl", "s_server", "-accept", "127.0.0.1:" + std::to_string(port_),
                               version, "-cipher", "ALL@SECLEVEL=0", "-cert", certificates.file("broker"),
                               "-key", certificates.key("broker")})} {
    REQUIRE(server_.wait_line("ACCEPT"));
  }
  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] std::string said() const { return server_.out() + server_.err(); }

 private:
  static std::vector<std::string> with(const std::vector<std::string>& options,
                                       std::vector<std::string> argv) {
    argv.insert(argv.end(), options.begin(), options.end());
    return argv;
  }
  int port_;
  Process server_;
};

}  // namespace

TEST_CASE("mqtt tls: the right certificate for the right name is talked to", "[report][mqtt][tls]") {
  const Certificates certificates;
  SECTION("a name") {
    const Broker broker{certificates.listener()};
    Publisher publisher{over_tls(certificates, broker.port())};
    CHECK(publisher.will_tell("broker-connected"));
  }
  SECTION("an address") {
    certificates.make("address", "IP:127.0.0.1");
    const Broker broker{certificates.listener("address")};
    auto options = over_tls(certificates, broker.port());
    options.host = "127.0.0.1";
    Publisher publisher{options};
    CHECK(publisher.will_tell("broker-connected"));
  }
}

TEST_CASE("mqtt tls: a certificate that is not right is refused, and it is said which it is",
          "[report][mqtt][tls]") {
  const Certificates certificates;
  SECTION("signed by a stranger") {
    const Broker broker{certificates.listener()};
    auto options = over_tls(certificates, broker.port());
    options.ca = certificates.file("stranger");
    const auto text = told_of(options);
    CHECK(holds(text, "signed by an authority that is not known here"));
    CHECK(holds(text, "`ca`"));
  }
  SECTION("signed by nobody whom the system trusts") {
    const Broker broker{certificates.listener()};
    auto options = over_tls(certificates, broker.port());
    options.ca.clear();
    CHECK(holds(told_of(options), "signed by an authority that is not known here"));
  }
  SECTION("for another name") {
    const Broker broker{certificates.listener()};
    auto options = over_tls(certificates, broker.port());
    options.host = "127.0.0.1";
    CHECK(holds(told_of(options), "its certificate is for another name than that in `url`"));
  }
  SECTION("expired") {
    certificates.make("expired", "DNS:localhost", -1);
    const Broker broker{certificates.listener("expired")};
    const auto text = told_of(over_tls(certificates, broker.port()));
    CHECK(holds(text, "its certificate has expired"));
    CHECK(holds(text, "clock of this machine"));
  }
  SECTION("not valid yet") {
    certificates.make_too_early("early");
    const Broker broker{certificates.listener("early")};
    const auto text = told_of(over_tls(certificates, broker.port()));
    CHECK(holds(text, "it is not valid yet"));
    CHECK(holds(text, "clock of this machine"));
  }
}

TEST_CASE("mqtt tls: a file that is not what it should be is named", "[report][mqtt][tls]") {
  const Certificates certificates;
  certificates.make("gateway", "DNS:orchard");
  auto options = over_tls(certificates, support::free_port());
  options.cert = certificates.file("gateway");
  options.key = certificates.key("gateway");
  const auto told = [&] {
    Publisher publisher{options};
    REQUIRE(publisher.will_tell("broker-misconfigured"));
    return publisher.told("broker-misconfigured");
  };
  SECTION("trusted certificates that are not there") {
    options.ca = certificates.file("none");
    CHECK(holds(told(), "the file of trusted certificates " + options.ca + " cannot be read"));
  }
  SECTION("trusted certificates that are none") {
    options.ca = certificates.key("ca");
    CHECK(holds(told(), options.ca + " is no certificate"));
  }
  SECTION("a certificate that is none") {
    options.cert = certificates.key("gateway");
    CHECK(holds(told(), options.cert + " of `cert` is no certificate"));
  }
  SECTION("the key of another") {
    options.key = certificates.key("broker");
    CHECK(holds(told(), options.key + " is no private key"));
  }
  SECTION("a key that asks for a pass phrase") {
    Process locked{{"openssl", "rsa", "-aes128", "-passout", "pass:secret", "-in", options.key, "-out",
                    certificates.key("locked")}};
    REQUIRE(locked.wait_exit() == 0);
    options.key = certificates.key("locked");
    CHECK(holds(told(), "without a pass phrase"));
  }
}

TEST_CASE("mqtt tls: a broker that wants to see our certificate gets it, and without one says so",
          "[report][mqtt][tls]") {
  const Certificates certificates;
  certificates.make("gateway", "DNS:orchard");
  certificates.make("other", "DNS:orchard", 2, "stranger");
  auto lines = certificates.listener();
  lines.emplace_back("require_certificate true");
  const Broker broker{lines};
  auto options = over_tls(certificates, broker.port());
  CHECK(holds(told_of(options), kWanted));

  options.cert = certificates.file("other");
  options.key = certificates.key("other");
  CHECK(holds(told_of(options), "it does not accept the certificate in `cert`"));

  options.cert = certificates.file("gateway");
  options.key = certificates.key("gateway");
  Publisher publisher{options};
  CHECK(publisher.will_tell("broker-connected"));
}

TEST_CASE(
    "mqtt tls: in TLS 1.2 a missing certificate of ours is refused at another moment, and said likewise",
    "[report][mqtt][tls]") {
  const Certificates certificates;  // a mosquitto always offers 1.3, too
  const OldServer server{certificates, "-tls1_2", {"-Verify", "1", "-CAfile", certificates.file("ca")}};
  CHECK(holds(told_of(over_tls(certificates, server.port())), kWanted));
  CHECK(holds(server.said(), "peer did not return a certificate"));
}

TEST_CASE("mqtt tls: a port that speaks no TLS is told from one that is not there", "[report][mqtt][tls]") {
  const Certificates certificates;
  SECTION("a broker without TLS") {
    const Broker broker;
    CHECK(holds(told_of(over_tls(certificates, broker.port())), "gives no answer in TLS"));
  }
  SECTION("nobody") {
    const auto text = told_of(over_tls(certificates, support::free_port()), "broker-away");
    CHECK(holds(text, "it cannot be reached"));
    CHECK_FALSE(holds(text, "ertificate"));
  }
}

TEST_CASE("mqtt tls: the part of the tests for old versions that has its own openssl.cnf", "[.][tls-child]") {
  config::Broker broker;
  broker.host = "localhost";
  broker.tls = true;
  broker.port = std::stoi(std::getenv("STILLWELL_TEST_PORT"));
  broker.ca = std::getenv("STILLWELL_TEST_CA");
  const auto text = told_of(broker);
  WARN(text);
}

TEST_CASE("mqtt tls: below version 1.2 nothing is agreed on, whatever the system allows",
          "[report][mqtt][tls]") {
  const Certificates certificates;
  const support::TemporaryDirectory place;
  const std::string system = "openssl_conf = all\n[all]\nssl_conf = ssl\n[ssl]\nsystem_default = it\n[it]\n";
  support::write_file(place.file("lax"), system + "MinProtocol = TLSv1\nCipherString = ALL:@SECLEVEL=0\n");
  support::write_file(place.file("strict"), system + "MinProtocol = TLSv1.2\n");
  const auto told_with = [&](const std::string& openssl_conf, int port) {
    Process child{{"/proc/self/exe", "[tls-child]"},
                  {"OPENSSL_CONF=" + place.file(openssl_conf), "STILLWELL_TEST_CA=" + certificates.file("ca"),
                   "STILLWELL_TEST_PORT=" + std::to_string(port)}};
    CHECK(child.wait_exit() == 0);
    return child.out();
  };
  for (const std::string version : {"-tls1", "-tls1_1"}) {
    const OldServer server{certificates, version};
    INFO(version);
    // The server is real: whoever allows it everything can talk to it.
    Process anybody{{"openssl", "s_client", "-connect", "localhost:" + std::to_string(server.port()),
                     "-CAfile", certificates.file("ca")},
                    {"OPENSSL_CONF=" + place.file("lax")}};
    REQUIRE(anybody.wait_line("Verify return code: 0"));
    anybody.close_input();
    anybody.wait_exit();

    CHECK(holds(told_with("lax", server.port()), "speaks no TLS 1.2 or later"));
    CHECK(holds(server.said(), "no shared cipher"));  // it never came to a key
    CHECK(holds(told_with("strict", server.port()), "speaks no TLS 1.2 or later"));
  }
  const OldServer server{certificates, "-tls1_1"};
  CHECK(holds(told_of(over_tls(certificates, server.port())), "speaks no TLS 1.2 or later"));
}
