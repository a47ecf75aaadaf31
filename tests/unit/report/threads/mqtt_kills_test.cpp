// A broker that is killed again and again while events go to it over TLS: none is lost, and none comes twice
// but the one that was under way when it died.
//
// What is proved is ours: each event is sent until the broker acknowledges it. What a broker does with it
// after that is the broker's: mosquitto acknowledges before it saves (mosquitto.conf(5), autosave_interval).
// So the reader is always there before the publisher: mosquitto writes to it before it acknowledges, and what
// is in a socket outlives the writer. The gate that sees to that is a relay, which is opened when the reader
// is subscribed. The broker keeps nothing over its death, so that every retained value must come from us
// again.
#include "stillwell/report/journal.hpp"
#include "stillwell/report/mqtt.hpp"

#include <algorithm>
#include <atomic>
#include <csignal>
#include <iomanip>
#include <iostream>
#include <memory>
#include <sstream>
#include <thread>

#include "support/bench_seed.hpp"
#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/certificates.hpp"
#include "support/publisher.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::Broker;
using support::Certificates;
using support::eventually;
using support::Process;
using support::Publisher;

namespace {

using namespace std::chrono_literals;

constexpr auto kBetweenEvents = 10ms;
constexpr const char* kFirstLine = "mosquitto version";  // retained by every mosquitto, sent when subscribed

/// An event as the reader had it: when, and in which life of the broker.
struct Heard {
  std::uint64_t seq = 0;
  double at = 0;
  int life = 0;
};

/// Tells an event every few milliseconds, as the daemon does: first to the journal, then to the broker.
class Teller {
 public:
  Teller(Mqtt& mqtt, Journal& journal) : thread_{[this, &mqtt, &journal] { tell(mqtt, journal); }} {}
  ~Teller() { stop(); }
  Teller(const Teller&) = delete;
  Teller& operator=(const Teller&) = delete;
  std::uint64_t stop() {
    stopping_ = true;
    if (thread_.joinable()) thread_.join();
    return told_;
  }

 private:
  void tell(Mqtt& mqtt, Journal& journal) {
    while (!stopping_) {
      const Entry entry{support::some_stamp(),
                        told_ + 1,
                        {EventKind::trip, "lift", "source-low", "Lift pump tripped.", {}}};
      if (journal.append(entry)) return;
      mqtt.send(entry);
      ++told_;
      std::this_thread::sleep_for(kBetweenEvents);
    }
  }
  std::atomic<bool> stopping_ = false;
  std::uint64_t told_ = 0;  // read when the thread has ended
  std::thread thread_;
};

/// A broker with a reader of the events in each of its lives, and a gate before the publisher.
class Stage {
 public:
  Stage() : broker_{lines()} { begin(); }

  [[nodiscard]] config::Broker way() const { return support::over_tls(certificates_, gate_port_); }
  [[nodiscard]] const Broker& broker() const { return broker_; }
  [[nodiscard]] const std::vector<Heard>& heard() const { return heard_; }
  [[nodiscard]] bool has(const std::string& text) const {
    return reader_->out().find(text) != std::string::npos;
  }

  void kill() {
    collect();
    broker_.kill();
    gate_->signal(SIGTERM);
    gate_->wait_exit();
    before_ = std::move(reader_);
    broker_.start();
    ++life_;
    begin();
  }
  /// The reader of the life before has come back to this one: it has read all that it was sent. The broker
  /// must live meanwhile.
  void collect() {
    if (!before_) return;
    REQUIRE(eventually([&] { return second_first_line() != std::string::npos; }));
    take(before_->out().substr(0, second_first_line()), life_ - 1);
    before_.reset();
  }
  void finish() {
    collect();
    take(reader_->out(), life_);
  }

 private:
  std::vector<std::string> lines() {
    auto lines = certificates_.listener();
    lines.insert(lines.begin(), "listener " + std::to_string(tls_port_) + " 127.0.0.1");
    return lines;
  }
  void begin() {
    // QoS 0, or the broker would hold back what a slow reader has not acknowledged.
    reader_ = std::make_unique<Process>(std::vector<std::string>{
        "stdbuf", "-oL", "mosquitto_sub", "-h", "127.0.0.1", "-p", std::to_string(broker_.port()), "-t",
        "stillwell/orchard/events", "-t", "$SYS/broker/version", "-F", "%U %p"});
    REQUIRE(reader_->wait_line(kFirstLine));
    gate_ = std::make_unique<Process>(std::vector<std::string>{
        "socat", "TCP-LISTEN:" + std::to_string(gate_port_) + ",bind=127.0.0.1,reuseaddr,fork",
        "TCP:127.0.0.1:" + std::to_string(tls_port_)});
  }
  [[nodiscard]] std::size_t second_first_line() const {
    const std::string text = before_->out();
    return text.find(kFirstLine, text.find(kFirstLine) + 1);
  }
  void take(const std::string& text, int life) {
    std::istringstream lines{text};
    for (std::string line; std::getline(lines, line);) {
      const std::size_t body = line.find('{');
      if (body == std::string::npos) continue;
      heard_.push_back({seq_in(line.substr(body)), std::stod(line), life});
    }
  }

  Certificates certificates_;
  int tls_port_ = support::free_port();
  int gate_port_ = support::free_port();
  Broker broker_;
  int life_ = 0;
  std::unique_ptr<Process> reader_;
  std::unique_ptr<Process> before_;
  std::unique_ptr<Process> gate_;
  std::vector<Heard> heard_;
};

std::string seq_text(std::uint64_t seq) {
  return "\"seq\":" + std::to_string(seq) + ",";
}

}  // namespace

TEST_CASE("mqtt: kills of the broker lose no event, and repeat none but that under way",
          "[report][mqtt][kills]") {
  const int kills = support::is_full() ? 100 : support::is_brief() ? 3 : 10;
  const auto seed = support::seed_or(20'260'301);
  support::Dice dice{seed};
  INFO("STILLWELL_SEED=" << seed);
  Stage stage;
  const support::TemporaryDirectory state;
  Journal journal{{.directory = state.path()}};
  Publisher publisher{stage.way(), {}, {state.path(), 0}};
  auto view = support::calm_view(publisher.model());
  Teller teller{publisher.mqtt(), journal};

  for (int kill = 0; kill < kills; ++kill) {
    INFO("kill " << kill);
    view.tanks[0] = support::tank_at(publisher.model().tanks[0], Metres{1.0 + 0.001 * kill});
    publisher.mqtt().show(view);
    std::ostringstream level;
    level << std::fixed << std::setprecision(3) << 1.0 + 0.001 * kill;
    const bool in_the_middle = dice.one_in(4);  // of whatever is going on when it is let in again
    if (!in_the_middle) {
      REQUIRE(eventually([&] { return stage.has("\"seq\":"); }));
      CHECK(eventually(
          [&] { return stage.broker().retained("homie/5/orchard-header/water/level") == level.str(); }));
      CHECK(eventually([&] { return stage.broker().retained("homie/5/orchard/$state") == "ready"; }));
    }
    std::this_thread::sleep_for(dice.between(0, in_the_middle ? 2.0 : 0.5) * 1s);
    stage.kill();
  }
  const auto told = teller.stop();
  REQUIRE(told > 0);
  REQUIRE(eventually([&] { return stage.has(seq_text(told)); }));
  stage.finish();

  const auto& heard = stage.heard();
  REQUIRE(!heard.empty());
  CHECK(heard.front().seq == 1);
  CHECK(heard.back().seq == told);
  int repeats = 0;
  int in_this_life = 1;
  double gap = 0;
  for (std::size_t at = 1; at < heard.size(); ++at) {
    const auto& now = heard[at];
    const auto& before = heard[at - 1];
    in_this_life = now.life == before.life ? in_this_life + 1 : 1;
    INFO("after " << before.seq << " of life " << before.life << " came " << now.seq << " of " << now.life);
    // What was under way at the kill had arrived, or waited in the library, which sends it when it is let in
    // again: then it is the first of this life and the second, too.
    const bool was_under_way = now.seq == before.seq && now.life > 0 && in_this_life <= 2;
    repeats += was_under_way ? 1 : 0;
    CHECK((now.seq == before.seq + 1 || was_under_way));
    gap = std::max(gap, now.at - before.at);
  }
  CHECK(repeats <= kills);
  CHECK(publisher.told("events-lost").empty());
  std::cout << "kills of the broker: " << kills << ", events " << told << ", repeated " << repeats
            << ", longest time without one " << std::fixed << std::setprecision(1) << gap << " s (seed "
            << seed << ")\n";
}
