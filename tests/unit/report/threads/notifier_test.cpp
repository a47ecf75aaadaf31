// The owner's program as the daemon calls it: real scripts, the real journal beside them.
#include "stillwell/report/notifier.hpp"

#include "stillwell/report/report.hpp"

#include <algorithm>
#include <chrono>
#include <mutex>

#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include "support/script.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using support::eventually;
using support::script;
using support::TemporaryDirectory;

namespace {

constexpr std::string_view kKeeps = "cat >>\"$1/told\"";

config::Notify notify(std::vector<std::string> run) {
  return {.run = std::move(run),
          .priorities = {Priority::high},
          .at_most = 100,
          .within = 5min,
          .again_after = 1ms};
}

Event risen(Priority priority = Priority::high) {
  return {EventKind::alarm,   "header/low", "unacknowledged", "Header tank: low alarm. \"\\",
          {{"level_m", 0.2}}, priority};
}
Entry entry(std::uint64_t seq, Priority priority = Priority::high) {
  return {support::some_stamp(), seq, risen(priority)};
}

/// What the notifier says to the journal, from its own thread.
class Heard {
 public:
  void operator()(Event event) {
    const std::scoped_lock lock{mutex_};
    events_.push_back(std::move(event));
  }
  std::vector<Event> all() {
    const std::scoped_lock lock{mutex_};
    return events_;
  }

 private:
  std::mutex mutex_;
  std::vector<Event> events_;
};

std::string told(const TemporaryDirectory& directory) {
  return support::read_file(directory.file("told"));
}

std::string lines_of(const std::vector<Entry>& entries) {
  std::string text;
  for (const Entry& one : entries)
    text += to_line(one) + "\n";
  return text;
}

config::Configuration site_with(std::vector<std::string> run) {
  config::Configuration site;
  site.model = support::orchard_model();
  site.notify = notify(std::move(run));
  return site;
}

Answer refuse(const Command& command) {
  return {command.number, false, "not now"};
}

}  // namespace

TEST_CASE("notifier: the program gets the line of each event that it asked for, in order",
          "[report][notify]") {
  const TemporaryDirectory directory;
  Heard heard;
  {
    Notifier notifier{"orchard", notify(script(directory, kKeeps)), std::ref(heard)};
    notifier.send(entry(1));
    notifier.send(entry(2, Priority::medium));
    notifier.send({support::some_stamp(), 3, {EventKind::start, "lift", "start-level", "Lift.", {}}});
    notifier.send(entry(4));
    CHECK(eventually([&] { return told(directory) == lines_of({entry(1), entry(4)}); }));
  }
  CHECK(told(directory) == lines_of({entry(1), entry(4)}));
  CHECK(heard.all().empty());
  CHECK_FALSE(support::has_children());
}

TEST_CASE("notifier: a program that fails is said once with its last words, and that it works again",
          "[report][notify]") {
  const TemporaryDirectory directory;
  Heard heard;
  Notifier notifier{"orchard",
                    notify(script(directory,
                                  "echo . >>\"$1/tries\"\n[ -e \"$1/line\" ] || { echo no dial "
                                  "tone; exit 7; }\ncat >>\"$1/told\"")),
                    std::ref(heard)};
  const auto tries = [&] { return support::read_file(directory.file("tries")).size() / 2; };
  notifier.send(entry(1));
  REQUIRE(eventually([&] { return heard.all().size() == 1; }));
  const Event failure = heard.all()[0];
  CHECK(tries() == 2);
  CHECK(failure.kind == EventKind::service);
  CHECK(failure.of == "orchard");
  CHECK(failure.cause == "notify");
  CHECK(failure.text.find("exit status 7") != std::string::npos);
  CHECK(failure.text.find("\"no dial tone\"") != std::string::npos);
  notifier.send(entry(2));
  REQUIRE(eventually([&] { return tries() == 4; }));
  support::write_file(directory.file("line"), "");
  notifier.send(entry(3));
  REQUIRE(eventually([&] { return heard.all().size() == 2; }));
  CHECK(heard.all()[1].cause == "notify");
  CHECK(heard.all()[1].text.find("works again") != std::string::npos);
  CHECK(told(directory).starts_with(to_line(entry(3)) + "\n"));
  CHECK(told(directory).find(R"("cause":"held-back","count":2)") != std::string::npos);
}

TEST_CASE("notifier: when the program is too slow the overflow is counted, and said", "[report][notify]") {
  const TemporaryDirectory directory;
  Heard heard;
  Notifier notifier{
      "orchard",
      notify(script(directory,
                    "echo >\"$1/runs\"\nwhile [ ! -e \"$1/gate\" ]; do sleep 0.05; done\ncat >>\"$1/told\"")),
      std::ref(heard)};
  notifier.send(entry(1));
  REQUIRE(eventually([&] { return !support::read_file(directory.file("runs")).empty(); }));
  std::vector<Entry> kept{entry(1)};
  for (std::uint64_t seq = 2; seq <= 70; ++seq) {
    notifier.send(entry(seq));
    if (seq <= 65) kept.push_back(entry(seq));
  }
  support::write_file(directory.file("gate"), "");
  // The count stands behind the second line.
  CHECK(eventually([&] { return told(directory).find(to_line(kept.back())) != std::string::npos; }));
  const std::string text = told(directory);
  CHECK(text.starts_with(lines_of({kept[0], kept[1]})));
  CHECK(text.find(R"("cause":"held-back","count":5)") != std::string::npos);
  CHECK(std::count(text.begin(), text.end(), '\n') == 66);
  REQUIRE(heard.all().size() == 1);
  CHECK(heard.all()[0].cause == "events-lost");
  CHECK(heard.all()[0].text.find("5 events") != std::string::npos);
}

TEST_CASE("notifier: while the program hangs the journal goes on, and the end of the daemon does not wait",
          "[report][notify]") {
  const TemporaryDirectory directory;
  const auto site =
      site_with(script(directory, "trap '' TERM\necho $$ >\"$1/pid\"\nwhile :; do sleep 1; done"));
  const auto journal = directory.file("journal.jsonl");
  {
    Report report{site, {.state_directory = directory.path()}, refuse};
    report.tell(risen(), support::some_stamp());
    REQUIRE(eventually([&] { return support::read_file(directory.file("pid")).ends_with('\n'); }));
    report.tell({EventKind::stop, "lift", "stop-level", "Meanwhile.", {}}, support::some_stamp());
    CHECK(eventually([&] { return support::read_file(journal).find("Meanwhile.") != std::string::npos; }));
  }
  CHECK_FALSE(support::has_children());
  CHECK(support::read_file(journal).find(R"("cause":"notify")") == std::string::npos);
}

TEST_CASE("notifier: the program is given the very line of the journal", "[report][notify]") {
  const TemporaryDirectory directory;
  const auto site = site_with(script(directory, kKeeps));
  Report report{site, {.state_directory = directory.path()}, refuse};
  auto outcome = support::calm_outcome(site.model);
  outcome.events = {{EventKind::start, "lift", "start-level", "Not this one.", {}},
                    {EventKind::lockout, "lift", "stuck-on", "Locked out.", {}, Priority::high}};
  report.tell(outcome, support::some_stamp());
  REQUIRE(eventually([&] { return told(directory).ends_with('\n'); }));
  const std::string journal = support::read_file(directory.file("journal.jsonl"));
  CHECK(journal.find("Not this one.") != std::string::npos);
  CHECK(journal.substr(journal.find('\n') + 1) == told(directory));
}
