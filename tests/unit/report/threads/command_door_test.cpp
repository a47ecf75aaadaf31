// Nobody who puts a message at the door waits, whatever the rules are doing; and what waits is bounded.
#include "stillwell/report/command_door.hpp"

#include <condition_variable>
#include <mutex>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/process.hpp"

using namespace stillwell;
using namespace stillwell::report;
using support::eventually;

namespace {

const std::string kMode = "homie/5/orchard-lift/pump/mode/set";

/// Rules that answer when they are let, and everything that was said.
class Rules {
 public:
  ~Rules() { open(); }

  CommandDoor::Parts parts() {
    return {.way = {.ask = [this](const Command& command) { return answer(command); }},
            .say =
                [this](Event event) {
                  const std::scoped_lock lock{mutex_};
                  events_.push_back(std::move(event));
                },
            .clear =
                [this](const std::string& topic) {
                  const std::scoped_lock lock{mutex_};
                  cleared_.push_back(topic);
                }};
  }
  void shut() { set(false); }
  void open() { set(true); }
  void lose_answers() {
    const std::scoped_lock lock{mutex_};
    judged_ = false;
  }
  std::vector<Command> asked() {
    const std::scoped_lock lock{mutex_};
    return asked_;
  }
  std::vector<std::string> cleared() {
    const std::scoped_lock lock{mutex_};
    return cleared_;
  }
  std::string told() {
    const std::scoped_lock lock{mutex_};
    std::string all;
    for (const Event& event : events_)
      all += event.cause + ": " + event.text + "\n";
    return all;
  }

 private:
  Answer answer(const Command& command) {
    std::unique_lock lock{mutex_};
    asked_.push_back(command);
    opened_.wait(lock, [this] { return open_; });
    return {1, judged_, "the answer", judged_};
  }
  void set(bool open) {
    const std::scoped_lock lock{mutex_};
    open_ = open;
    opened_.notify_all();
  }

  std::mutex mutex_;
  std::condition_variable opened_;
  bool open_ = true;
  bool judged_ = true;
  std::vector<Command> asked_;
  std::vector<std::string> cleared_;
  std::vector<Event> events_;
};

const auto kArrived = std::chrono::steady_clock::now();

/// All of one moment.
Incoming message(const std::string& payload, bool retained = false) {
  return {.topic = kMode, .payload = payload, .retained = retained, .arrived = kArrived};
}

std::vector<CommandTopic> modes() {
  return command_topics(support::orchard_model(), {config::Accept::mode});
}

}  // namespace

TEST_CASE("door: a command goes to the rules, and their word is not told twice", "[report][commands]") {
  Rules rules;
  CommandDoor door{support::orchard_model(), modes(), rules.parts()};
  door.put(message("off"));
  REQUIRE(eventually([&] { return rules.asked().size() == 1; }));
  CHECK(rules.asked()[0].target == "lift");
  door.put(message("nonsense"));
  REQUIRE(eventually([&] { return !rules.told().empty(); }));
  CHECK(rules.told().find("answer") == std::string::npos);
}

TEST_CASE("door: a retained command is cleared and told, and the rules never see it", "[report][commands]") {
  Rules rules;
  CommandDoor door{support::orchard_model(), modes(), rules.parts()};
  door.put(message("auto", true));
  REQUIRE(eventually([&] { return !rules.told().empty(); }));
  CHECK(rules.cleared() == std::vector<std::string>{kMode});
  CHECK(rules.told().find("mode: refused: " + kMode + ": it is retained") == 0);
  CHECK(rules.asked().empty());
}

TEST_CASE("door: while the rules are silent nobody waits, the queue is bounded, and the rest is counted",
          "[report][commands]") {
  Rules rules;
  rules.shut();
  CommandDoor door{support::orchard_model(), modes(), rules.parts()};
  door.put(message("off"));
  REQUIRE(eventually([&] { return rules.asked().size() == 1; }));
  for (int i = 0; i < 1000; ++i)
    door.put(message("auto"));  // returns although nobody takes any
  CHECK(rules.told().empty());
  rules.open();
  REQUIRE(eventually([&] { return rules.told().find("too many came at once") != std::string::npos; }));
  REQUIRE(eventually([&] { return rules.told().find("less than a second") != std::string::npos; }));
  CHECK(rules.asked().size() == 1);
}

TEST_CASE("door: a command that the rules never got to is told", "[report][commands]") {
  Rules rules;
  rules.lose_answers();
  CommandDoor door{support::orchard_model(), modes(), rules.parts()};
  door.put(message("off"));
  CHECK(eventually([&] {
    return rules.told().find("mode: refused: " + kMode + ": the answer (over MQTT).") != std::string::npos;
  }));
}
