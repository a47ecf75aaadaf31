#include "stillwell/report/report.hpp"

#include "stillwell/report/client.hpp"

#include <filesystem>

#include "support/broker.hpp"
#include "support/catch.hpp"
#include "support/orchard_model.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;
using nlohmann::json;
using support::TemporaryDirectory;

namespace {

config::Configuration configuration(std::optional<int> broker_port = {}) {
  config::Configuration result;
  result.model = support::orchard_model();
  if (broker_port) {
    result.broker.emplace();
    result.broker->host = "127.0.0.1";
    result.broker->port = *broker_port;
  }
  return result;
}

Answer refuse(const Command& command) {
  return {command.number, false, "not now: " + command.target};
}

json ask(const std::string& socket, const std::string& request) {
  const auto answer = ask_daemon(socket, request);
  INFO((answer ? *answer : answer.error()));
  REQUIRE(answer.ok());
  return json::parse(*answer);
}

Outcome eventful(const Model& model, int events) {
  auto outcome = support::calm_outcome(model);
  for (int i = 0; i < events; ++i) {
    outcome.events.push_back({EventKind::start, "lift", "level", "Start " + std::to_string(i), {}});
  }
  return outcome;
}

}  // namespace

TEST_CASE("report: what is told is seen over the socket and in the journal", "[report]") {
  const TemporaryDirectory run;
  const auto site = configuration();
  const auto socket = run.file("s");
  {
    Report report{site, {.state_directory = run.path(), .socket = socket, .version = "0.1.0"}, refuse};
    CHECK(ask(socket, R"({"do":"status"})")["done"] == false);  // nothing was scanned yet
    report.tell(eventful(site.model, 3), support::some_stamp());
    const auto status = ask(socket, R"({"do":"status"})");
    CHECK(status["at"] == "2026-03-01T04:12:07.250Z");
    CHECK(status["broker"] == "none");
    CHECK(status["tanks"][0]["percent"] == 71.1);
    CHECK(status["events"].size() == 3);
    CHECK(status["events"][2]["seq"] == 3);
    CHECK(ask(socket, R"({"do":"reset","target":"lift"})")["text"] == "not now: lift");
    CHECK_FALSE(report.broker_connected());
    CHECK(report.newest_seq() == 3);
  }
  const auto journal = support::read_file(run.file("journal.jsonl"));
  CHECK(std::count(journal.begin(), journal.end(), '\n') == 3);
}

TEST_CASE("report: levels are logged where they are asked for, on a clock that is trusted",
          "[report][levels]") {
  const TemporaryDirectory run;
  auto site = configuration();
  const auto log_of = [&](std::optional<Stamp> trusted) {
    {
      Report report{site,
                    {.state_directory = run.path(), .socket = {}, .trusted_wall = [=] { return trusted; }},
                    refuse};
      report.tell(support::calm_outcome(site.model), support::some_stamp());
    }
    return support::read_file(run.file("levels-2026-03.csv"));
  };
  CHECK(log_of(support::some_stamp()).empty());
  site.log_levels = config::LevelLogging{.every = std::chrono::seconds{1}, .keep = kDay * 400};
  CHECK(log_of({}).empty());
  CHECK(log_of(support::some_stamp()).find("\r\n2026-03-01T04:12:07.250Z,1.742,1.2,") != std::string::npos);
}

TEST_CASE("report: numbers go on over a restart, in the journal and at the broker", "[report]") {
  const TemporaryDirectory run;
  const support::Broker broker;
  const auto site = configuration(broker.port());
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  const auto tell_one = [&](const std::string& text) {
    Report report{site, {.state_directory = run.path()}, refuse};
    auto outcome = support::calm_outcome(site.model);
    outcome.events.push_back({EventKind::stop, "lift", "level", text, {}});
    report.tell(outcome, support::some_stamp());
    REQUIRE(live->wait_line(text));
    REQUIRE(live->wait_line("broker-connected"));
    CHECK(report.broker_connected());
    return report.newest_seq();
  };
  const auto first = tell_one("the first run");
  const auto second = tell_one("the second run");
  CHECK(second > first);

  // The subscriber saw exactly the lines of the journal, in its order.
  std::istringstream journal{support::read_file(run.file("journal.jsonl"))};
  std::string seen = live->out();
  std::uint64_t newest = 0;
  for (std::string line; std::getline(journal, line);) {
    REQUIRE(support::eventually([&] { return live->out().find(line) != std::string::npos; }));
    const auto seq = json::parse(line)["seq"].get<std::uint64_t>();
    CHECK(seq > newest);
    newest = seq;
  }
  CHECK(newest == second);
}

TEST_CASE("report: with the disk full the broker still hears of it", "[report]") {
  const TemporaryDirectory run;
  std::filesystem::create_symlink("/dev/full", run.file("journal.jsonl"));
  const support::Broker broker;
  const auto live = broker.subscriber("stillwell/orchard/events", "%p");
  const auto site = configuration(broker.port());
  Report report{site, {.state_directory = run.path()}, refuse};
  report.tell(eventful(site.model, 2), support::some_stamp());
  CHECK(live->wait_line("Start 1"));
}

TEST_CASE("report: a place that cannot be used is refused before anything starts", "[report]") {
  const TemporaryDirectory run;
  support::write_file(run.file("occupied"), "a file");
  const auto site = configuration();
  CHECK_THROWS_WITH((Report{site, {.state_directory = run.file("occupied")}, refuse}),
                    Catch::Matchers::StartsWith("the state directory"));
  CHECK_THROWS_WITH((Report{site, {.state_directory = run.path(), .socket = run.file("occupied")}, refuse}),
                    Catch::Matchers::StartsWith("the local socket"));
}
