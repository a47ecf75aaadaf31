#include "stillwell/service/inbox.hpp"

#include <thread>

#include "support/catch.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

Command mode_off() {
  return {.kind = CommandKind::mode, .target = "lift", .argument = "off"};
}

}  // namespace

TEST_CASE("inbox: a command reaches the next scan and its answer the sender", "[service][command]") {
  service::Bell bell;
  service::Inbox inbox{bell};
  Answer answer;
  std::thread sender{[&] { answer = inbox.ask(mode_off(), 10s); }};
  std::vector<Command> taken;
  while (taken.empty())
    taken = inbox.take();
  inbox.answer({{taken[0].number, true, "lift is now in mode off"}});
  sender.join();

  CHECK(taken[0].target == "lift");
  CHECK(taken[0].argument == "off");
  CHECK(answer.done);
  CHECK(answer.text == "lift is now in mode off");
}

TEST_CASE("inbox: a command that no scan takes is refused and withdrawn", "[service][command]") {
  service::Bell bell;
  service::Inbox inbox{bell};
  const Answer answer = inbox.ask(mode_off(), 20ms);
  CHECK_FALSE(answer.done);
  CHECK_FALSE(answer.judged);
  CHECK(answer.text.find("no answer in time") != std::string::npos);
  CHECK(inbox.take().empty());
}

TEST_CASE("inbox: an answer that comes too late goes to nobody", "[service][command]") {
  service::Bell bell;
  service::Inbox inbox{bell};
  Answer late;
  std::thread sender{[&] { late = inbox.ask(mode_off(), 50ms); }};
  std::vector<Command> taken;
  while (taken.empty())
    taken = inbox.take();
  sender.join();
  inbox.answer({{taken[0].number, true, "done"}});
  CHECK_FALSE(late.done);

  std::thread next{[&] { late = inbox.ask(mode_off(), 20ms); }};
  next.join();
  CHECK_FALSE(late.done);
}

TEST_CASE("inbox: when it is closed nobody waits any longer, and nobody is taken for answered",
          "[service][command]") {
  service::Bell bell;
  service::Inbox inbox{bell};
  Answer waiting;
  std::thread sender{[&] { waiting = inbox.ask(mode_off(), std::chrono::hours{1}); }};
  while (inbox.take().empty())
    std::this_thread::yield();
  inbox.close();
  sender.join();
  CHECK_FALSE(waiting.done);
  CHECK_FALSE(waiting.judged);
  const Answer late = inbox.ask(mode_off(), std::chrono::hours{1});
  CHECK_FALSE(late.judged);
  CHECK(late.text.find("stopping") != std::string::npos);
}
