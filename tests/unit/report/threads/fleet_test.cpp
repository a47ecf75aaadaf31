// Many gateways on one broker: the real report room once for each, all in this process. STILLWELL_FULL=1 has
// two hundred of them, for a minute.
#include "stillwell/report/mqtt.hpp"

#include <iomanip>
#include <iostream>
#include <map>
#include <memory>
#include <numeric>
#include <sstream>
#include <thread>
#include <vector>

#include "support/bench_seed.hpp"
#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using support::Broker;
using support::eventually;

namespace {

constexpr support::Bound kAll{180'000};
constexpr std::uint64_t kEvents = 12;  // of each gateway
constexpr int kAnyLength = 1 << 20;
constexpr std::size_t kDevices = 5;  // the gateway, its tanks and its pumps

std::size_t gateways() {
  return support::is_full() ? 200 : 20;
}
int seconds() {
  return support::is_full() ? 60 : 4;
}

/// The orchard under a name of its own, whose header moves a little each second.
class Orchard {
 public:
  Orchard(std::size_t number, int port)
      : model_{named(number)}, view_{support::calm_view(model_)}, mqtt_{model_, to(port), "0.1.0", [](Event) {
                                                                        }} {
    mqtt_.show(view_);
  }
  void live(int second) {
    // A step that another number of seconds does not repeat, so that the last one is known by its level.
    view_.tanks[0] = support::tank_at(model_.tanks[0], level(second));
    mqtt_.show(view_);
  }
  void tell(std::uint64_t seq) {
    mqtt_.send(
        {support::some_stamp(), seq, {EventKind::trip, "lift", "source-low", "Lift pump tripped.", {}}});
  }
  [[nodiscard]] const std::string& id() const { return model_.id; }
  static Metres level(int second) { return Metres{1.5 + 0.003 * second}; }

 private:
  static Model named(std::size_t number) {
    Model model = support::orchard_model();
    model.id = "orchard" + std::to_string(number);
    return model;
  }
  static config::Broker to(int port) {
    config::Broker broker;
    broker.host = "127.0.0.1";
    broker.port = port;
    return broker;
  }

  Model model_;
  View view_;
  Mqtt mqtt_;
};

std::size_t count_of(const std::string& what, const std::string& text) {
  std::size_t found = 0;
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += what.size())
    ++found;
  return found;
}

/// The numbers of each site's events, as they came.
std::map<std::string, std::vector<std::uint64_t>> events_in(const std::string& output) {
  std::map<std::string, std::vector<std::uint64_t>> events;
  std::istringstream lines{output};
  for (std::string line; std::getline(lines, line);) {
    if (!line.starts_with("stillwell/")) continue;
    const auto event = nlohmann::json::parse(line.substr(line.find('{')));
    events[line.substr(0, line.find(' '))].push_back(event["seq"].get<std::uint64_t>());
  }
  return events;
}

/// What the broker said of a count of itself (mosquitto(8), "BROKER STATUS") within a time: how much it grew
/// a second.
double rate_of(const std::string& topic, const std::string& output, double from, double until) {
  std::vector<std::pair<double, double>> told;
  std::istringstream lines{output};
  double at = 0;
  double value = 0;
  for (std::string name; lines >> at >> name; lines.ignore(kAnyLength, '\n')) {
    if (name != "$SYS/broker/" + topic || at < from || at > until) continue;
    lines >> value;
    told.emplace_back(at, value);
  }
  if (told.size() < 2) return 0;
  return (told.back().second - told.front().second) / (told.back().first - told.front().first);
}

double now() {
  return std::chrono::duration<double>(std::chrono::system_clock::now().time_since_epoch()).count();
}

double megabytes(pid_t pid) {
  const std::string status = support::read_file("/proc/" + std::to_string(pid) + "/status");
  const std::string field = "VmRSS:";
  return std::stod(status.substr(status.find(field) + field.size())) / 1024.0;
}

/// Processor time of a process so far, in seconds.
double cpu_of(pid_t pid) {
  std::istringstream stat{support::read_file("/proc/" + std::to_string(pid) + "/stat")};
  constexpr int kUserTime = 14;  // and 15 is the system's (proc(5))
  long ticks = 0;
  std::string field;
  for (int nth = 1; nth <= kUserTime + 1 && stat >> field; ++nth)
    if (nth >= kUserTime) ticks += std::stol(field);
  return static_cast<double>(ticks) / static_cast<double>(sysconf(_SC_CLK_TCK));
}

}  // namespace

TEST_CASE("fleet: everything of many gateways arrives at one broker", "[report][mqtt][fleet]") {
  const Broker broker{{"sys_interval 1", "max_queued_messages 0"}};
  const auto states = broker.subscriber("homie/5/+/$state", "%t %p");
  const auto events = broker.subscriber("stillwell/+/events", "%t %p");
  const auto counts = broker.subscriber("$SYS/broker/#", "%U %t %p");
  const double without = megabytes(getpid());
  const double start = now();
  std::vector<std::unique_ptr<Orchard>> orchards;
  for (std::size_t number = 1; number <= gateways(); ++number)
    orchards.push_back(std::make_unique<Orchard>(number, broker.port()));
  REQUIRE(eventually([&] { return count_of(" ready", states->out()) == kDevices * gateways(); }, kAll));
  const double ready = now();
  const double cpu = cpu_of(broker.pid());

  std::uint64_t told = 0;
  for (int second = 1; second <= seconds(); ++second) {
    const auto next = std::chrono::steady_clock::now() + 1s;
    for (const auto& orchard : orchards)
      orchard->live(second);
    for (; told < kEvents * static_cast<std::uint64_t>(second) / static_cast<std::uint64_t>(seconds());
         ++told) {
      for (const auto& orchard : orchards)
        orchard->tell(told + 1);
    }
    std::this_thread::sleep_until(next);
  }
  const double end = now();
  const double busy = cpu_of(broker.pid()) - cpu;

  CHECK(eventually([&] { return count_of("\"seq\"", events->out()) >= kEvents * gateways(); }, kAll));
  std::vector<std::uint64_t> all(kEvents);
  std::iota(all.begin(), all.end(), 1);
  auto arrived = events_in(events->out());
  const auto levels = broker.subscriber("homie/5/+/water/level", "%t %p.");
  std::ostringstream last;
  last << std::fixed << std::setprecision(3) << Orchard::level(seconds()).value();
  for (const auto& orchard : orchards) {
    INFO(orchard->id());
    CHECK(arrived["stillwell/" + orchard->id() + "/events"] == all);
    CHECK(levels->wait_line("homie/5/" + orchard->id() + "-header/water/level " + last.str() + "."));
  }

  const auto rate = [&](const std::string& topic) { return rate_of(topic, counts->out(), ready, end); };
  std::cout << "fleet: " << gateways() << " gateways ready after " << ready - start << " s, "
            << 1024.0 * (megabytes(getpid()) - without) / static_cast<double>(gateways())
            << " kB of this process each; broker " << megabytes(broker.pid()) << " MB, "
            << broker.retained("$SYS/broker/retained messages/count") << " retained topics, "
            << rate("messages/received") << " packets/s and " << rate("bytes/received") << " bytes/s to it, "
            << 100.0 * busy / (end - ready) << " % of a core\n";
}
