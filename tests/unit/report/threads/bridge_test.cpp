// What a gateway tells, carried from the site's broker to a central one by the files of config/fleet.
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <filesystem>
#include <mutex>
#include <numeric>
#include <sstream>
#include <thread>

#include "support/catch.hpp"
#include "support/fleet_bench.hpp"
#include "support/orchard_model.hpp"
#include "support/places.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using support::CentralBroker;
using support::Certificates;
using support::Commands;
using support::eventually;
using support::Process;
using support::SiteBroker;

namespace {

/// A bridge tries again after 30 s at most (restart_timeout).
constexpr support::Bound kLinkBack{60'000};
/// How often one command is taken, and a little.
constexpr std::chrono::milliseconds kOneASecond{1100};

int count_of(const std::string& what, const std::string& text) {
  int found = 0;
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += what.size())
    ++found;
  return found;
}

/// The gateway of the site: the real report room, which takes modes and counts what it carries out.
class Teller {
 public:
  explicit Teller(int port)
      : mqtt_{model_, to(port), "0.1.0", [](const Event&) {}, {.ask = [this](const Command& command) {
                const std::scoped_lock lock{mutex_};
                ++carried_;
                return Answer{.number = command.number, .done = true, .text = "done"};
              }}} {
    mqtt_.show(support::calm_view(model_));
  }
  Mqtt& mqtt() { return mqtt_; }
  const Model& model() { return model_; }
  void send(std::uint64_t first, std::uint64_t last) {
    for (std::uint64_t seq = first; seq <= last; ++seq)
      mqtt_.send(
          {support::some_stamp(), seq, {EventKind::trip, "lift", "source-low", "Lift pump tripped.", {}}});
  }
  int carried() {
    const std::scoped_lock lock{mutex_};
    return carried_;
  }

 private:
  static config::Broker to(int port) {
    config::Broker broker;
    broker.host = "127.0.0.1";
    broker.port = port;
    broker.accept = {config::Accept::mode};
    return broker;
  }

  Model model_ = support::orchard_model();
  std::mutex mutex_;
  int carried_ = 0;
  Mqtt mqtt_;
};

const std::vector<std::string> kEverything{"+/5/#", "stillwell/#"};

/// For the access list of a centre: what the bridge keeps back, its own list would not.
const std::string kAnythingOfItsOwn = "pattern write %u/#\n";

std::string event(std::uint64_t seq) {
  return "\"seq\":" + std::to_string(seq) + ",";
}

/// The numbers of the events, each where it came first.
std::vector<std::uint64_t> first_arrivals(const std::string& output) {
  std::vector<std::uint64_t> numbers;
  std::istringstream lines{output};
  for (std::string line; std::getline(lines, line);) {
    if (line.find("/events {") == std::string::npos) continue;
    const auto seq = nlohmann::json::parse(line.substr(line.find('{')))["seq"].get<std::uint64_t>();
    if (std::find(numbers.begin(), numbers.end(), seq) == numbers.end()) numbers.push_back(seq);
  }
  return numbers;
}

std::vector<std::uint64_t> up_to(std::uint64_t last) {
  std::vector<std::uint64_t> numbers(last);
  std::iota(numbers.begin(), numbers.end(), 1);
  return numbers;
}

}  // namespace

TEST_CASE("bridge: the shipped file lists every device of the shipped orchard", "[report][bridge]") {
  const auto orchard = config::load(support::source_dir() + "/config/orchard.yaml");
  REQUIRE(orchard.configuration);
  const Model& model = orchard.configuration->model;
  std::vector<std::string> devices{model.id};
  for (const Tank& tank : model.tanks)
    devices.push_back(model.id + "-" + tank.id);
  for (const Pump& pump : model.pumps)
    devices.push_back(model.id + "-" + pump.id);
  const std::string bridge = support::read_file(support::source_dir() + "/config/fleet/site-bridge.conf");
  for (const std::string& device : devices) {
    for (const std::string below : {"/$alert/+", "/+", "/+/+"}) {
      INFO(device << below);
      CHECK(count_of("\ntopic 5/" + device + below + " out 1 homie/ orchard/\n", bridge) == 1);
    }
  }
  CHECK(count_of(" out 1 homie/ ", bridge) == 3 * static_cast<int>(devices.size()));
}

TEST_CASE("bridge: every event arrives, in order, whichever end of the link goes away", "[report][bridge]") {
  Certificates certificates;
  CentralBroker centre{certificates};
  auto reader = centre.reader(kEverything);
  SiteBroker site{centre, certificates.directory() + "/"};
  Teller gateway{site.broker().port()};
  // It is retained, so whoever sees it has subscribed; an event before that would be nobody's.
  REQUIRE(reader->wait_line("stillwell/orchard/link 1", kLinkBack));
  gateway.send(1, 20);
  REQUIRE(reader->wait_line(event(20), kLinkBack));
  REQUIRE(centre.remembers_reader());
  std::string arrived = reader->out();

  centre.broker().kill();  // as a power cut at the centre
  gateway.send(21, 400);
  site.broker().stop();  // and in the middle of it the site's broker starts anew
  REQUIRE(eventually([&] { return !gateway.mqtt().connected(); }));
  site.broker().start();
  gateway.send(401, 600);
  REQUIRE(eventually([&] { return gateway.mqtt().connected(); }));

  centre.broker().start();
  reader = centre.reader(kEverything);
  REQUIRE(reader->wait_line(event(600), kLinkBack));
  arrived += reader->out();

  site.broker().kill();  // nothing waits, nothing is lost
  REQUIRE(reader->wait_line("stillwell/orchard/link 0", kLinkBack));
  gateway.send(601, 620);
  site.broker().start();
  REQUIRE(reader->wait_line(event(620), kLinkBack));
  arrived += reader->out();
  CHECK(first_arrivals(arrived) == up_to(620));
}

TEST_CASE("bridge: the centre is told how things are when the link is back", "[report][bridge]") {
  Certificates certificates;
  CentralBroker centre{certificates};
  auto reader = centre.reader(kEverything);
  SiteBroker site{centre, certificates.directory() + "/"};
  Teller gateway{site.broker().port()};
  auto view = support::calm_view(gateway.model());
  view.alarms[0].state = AlarmState::unacknowledged;
  gateway.mqtt().show(view);
  REQUIRE(reader->wait_line("orchard/5/orchard-header/$alert/low Header tank: low alarm", kLinkBack));
  REQUIRE(reader->wait_line("orchard/5/orchard-header/water/level 1.742", kLinkBack));
  REQUIRE(reader->wait_line("orchard/5/orchard/$state ready", kLinkBack));
  REQUIRE(reader->wait_line("stillwell/orchard/link 1", kLinkBack));
  REQUIRE(centre.remembers_reader());

  centre.broker().kill();
  view.alarms[0].state = AlarmState::normal;
  view.tanks[0] = support::tank_at(gateway.model().tanks[0], Metres{1.5});
  gateway.mqtt().show(view);
  REQUIRE(
      eventually([&] { return site.broker().retained("homie/5/orchard-header/water/level") == "1.500"; }));
  centre.broker().start();
  reader = centre.reader(kEverything);
  CHECK(reader->wait_line("orchard/5/orchard-header/water/level 1.500", kLinkBack));
  CHECK(eventually(
      [&] { return reader->out().find("0 orchard/5/orchard-header/$alert/low \n") != std::string::npos; },
      kLinkBack));
}

TEST_CASE("bridge: nothing crosses but what is listed", "[report][bridge]") {
  Certificates certificates;
  CentralBroker centre{certificates, Commands::let_in, kAnythingOfItsOwn};
  const auto reader = centre.reader({"#"});
  SiteBroker site{centre, certificates.directory() + "/"};
  Teller gateway{site.broker().port()};
  REQUIRE(reader->wait_line("orchard/5/orchard/$state ready", kLinkBack));
  site.broker().publish("homie/5/kitchen/lamp/on", {"-m", "private", "-r"});
  site.broker().publish("stillwell/orchard/diary", {"-m", "private"});
  site.broker().publish("house/private", {"-m", "private"});
  site.broker().publish("homie/5/orchard-lift/pump/mode/set", {"-m", "off"});
  CHECK(eventually([&] { return gateway.carried() == 1; }));
  // Nor does a site tell of another, whatever its own broker sends.
  centre.publish("orchard", "vineyard/5/vineyard/$state", {"-m", "private"});
  centre.publish("orchard", "stillwell/vineyard/events", {"-m", "private"});
  // Nor, while the inward line is off, does anything come in.
  centre.publish("office", "orchard/5/orchard-lift/pump/mode/set", {"-m", "auto"});
  gateway.send(1, 1);
  REQUIRE(reader->wait_line(event(1), kLinkBack));
  CHECK(reader->out().find("private") == std::string::npos);
  CHECK(reader->out().find("homie/") == std::string::npos);
  CHECK(reader->out().find("/set off") == std::string::npos);
  CHECK(site.broker().retained("homie/5/kitchen/lamp/on") == "private");
  centre.publish("orchard", "stillwell/orchard/events",
                 {"-m", "last"});  // what its own topics are let through
  CHECK(reader->wait_line("stillwell/orchard/events last"));
  CHECK(gateway.carried() == 1);
}

TEST_CASE("bridge: a retained command at the centre starts nothing, let in or not", "[report][bridge]") {
  const std::string mode = "5/orchard-lift/pump/mode/set";
  Certificates certificates;
  CentralBroker centre{certificates, Commands::let_in, kAnythingOfItsOwn};
  centre.publish("office", "orchard/" + mode, {"-m", "auto", "-r"});  // it lies there before the link is up
  SiteBroker site{centre, certificates.directory() + "/", Commands::let_in};
  Teller gateway{site.broker().port()};
  auto arrivals = site.broker().subscriber("homie/" + mode, "(%p)");
  const auto refused = [&](int times) {  // each is followed by the gateway's own deletion
    return eventually([&] { return count_of("()", arrivals->out()) == times; }, kLinkBack);
  };
  const auto carried = [&](int times) {
    const bool is_so = eventually([&] { return gateway.carried() == times; }, kLinkBack);
    std::this_thread::sleep_for(kOneASecond);  // more often none is taken
    return is_so;
  };
  REQUIRE(refused(1));
  centre.publish("office", "orchard/" + mode, {"-m", "off", "-r"});  // live and retained
  REQUIRE(refused(2));
  CHECK(gateway.carried() == 0);
  centre.publish("office", "orchard/" + mode, {"-m", "off"});
  REQUIRE(carried(1));

  site.broker().stop();
  centre.publish("office", "orchard/" + mode, {"-m", "off"});  // nobody waits for it when the link is back
  site.broker().start();
  arrivals = site.broker().subscriber("homie/" + mode, "(%p)");
  REQUIRE(refused(1));  // what is retained comes each time, until it is deleted at the centre
  centre.publish("office", "orchard/" + mode, {"-m", "auto"});
  REQUIRE(carried(2));
  CHECK(arrivals->out().find("(off)\n()") != std::string::npos);

  site.broker().publish("homie/" + mode, {"-m", "off"});  // goes in no circle
  REQUIRE(carried(3));
  centre.publish("office", "orchard/" + mode, {"-m", "auto"});
  REQUIRE(carried(4));
  CHECK(count_of("(auto)", arrivals->out()) == 2);
}

TEST_CASE("bridge: a centre that is not the one it should be is told nothing", "[report][bridge]") {
  Certificates certificates;
  CentralBroker centre{certificates};
  const support::TemporaryDirectory deceived;
  std::filesystem::copy(certificates.directory() + "/", deceived.path());
  std::string says;
  SECTION("its certificate is a stranger's") {
    const Certificates stranger;
    std::filesystem::copy(stranger.file("ca"), deceived.file("ca.pem"),
                          std::filesystem::copy_options::overwrite_existing);
    says = "certificate verify failed";
  }
  SECTION("its certificate is another host's") {
    certificates.make("central", "DNS:elsewhere.example.org");
    centre.broker().stop();
    centre.broker().start();
    says = "host name verification failed";
  }
  SiteBroker site{centre, deceived.file("")};
  Teller gateway{site.broker().port()};
  gateway.send(1, 1);
  CHECK(eventually([&] { return site.log().find(says) != std::string::npos; }));
  CHECK(eventually([&] { return site.broker().retained("stillwell/orchard/link") == "0"; }));
}
