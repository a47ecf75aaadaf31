// The proof test and the observing daemon on real bytes (rule 18): the simulated module's relay is what
// counts, and not what the program says of it.
#include "stillwell/pump/causes.hpp"

#include <csignal>
#include <filesystem>
#include <sstream>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/places.hpp"
#include <nlohmann/json.hpp>

using nlohmann::json;
using support::Bound;
using support::eventually;
using support::Gateway;
using support::Process;

namespace {

constexpr Bound kWhole{110'000};  // a whole proof starts the pump a dozen times

/// Hardly any flow, no rest, and levels at which every pump may run in hand and none must.
Gateway::Edits edits() {
  return {{"scan: 500 ms", "scan: 200 ms"},
          {"off_at_least: 2 s", "off_at_least: 0 s"},
          {"flow_rate: 300 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 270 L/min", "flow_rate: 1 L/min"},
          {"flow_rate: 150 L/min", "flow_rate: 1 L/min"}};
}

class Site : public Gateway {
 public:
  Site() : Gateway{With::no_broker, edits()} {
    for (const char* level : {"set cistern 60 %", "set header 55 %", "set sump 40 %"})
      order(level);
    REQUIRE(status_becomes("/tanks/0/percent", "55.0"));
    REQUIRE(status_becomes("/tanks/1/percent", "60.0"));
  }

  [[nodiscard]] std::string record() const { return directory().file("record.json"); }
  [[nodiscard]] std::unique_ptr<Process> prove(std::vector<std::string> words) const {
    std::vector<std::string> argv{support::binary_dir() + "/stillwell", "prove"};
    argv.insert(argv.end(), words.begin(), words.end());
    argv.insert(argv.end(), {"--config", configuration(), "--socket", directory().file("socket")});
    return std::make_unique<Process>(argv);
  }
  [[nodiscard]] std::size_t switched(const std::string& what) {
    std::istringstream lines{orchard().out()};
    std::size_t count = 0;
    for (std::string line; std::getline(lines, line);)
      count += line.find("contact " + what) != std::string::npos ? 1 : 0;
    return count;
  }
};

std::size_t count_of(const json& record, const std::string& result) {
  std::size_t count = 0;
  for (const json& row : record.at("causes"))
    count += row.at("result") == result ? 1 : 0;
  return count;
}

const json& row_of(const json& record, const std::string& cause) {
  for (const json& row : record.at("causes"))
    if (row.at("cause") == cause) return row;
  throw std::runtime_error("no row for " + cause);
}

}  // namespace

TEST_CASE(
    "prove: every cause that can be forced stops the lift or holds it, and its relay drops out each time",
    "[e2e][prove][rule-18]") {
  Site site;
  const auto proof = site.prove({"lift", "--record", site.record()});
  proof->close_input();  // nobody stands at the contactor
  const auto code = proof->wait_exit(kWhole);
  INFO(proof->out() << proof->err());
  REQUIRE(code == 0);
  const json record = json::parse(support::read_file(site.record()));
  CHECK(record["passed"] == true);
  CHECK(record["causes"].size() == stillwell::cause_table().size());
  CHECK(count_of(record, "passed") >= 12);
  std::size_t ran = 0;
  for (const json& row : record["causes"]) {
    INFO(row.dump());
    CHECK(row["result"] != "not tried");
    if (row.contains("contactor")) {
      CHECK(row["contactor"] == "not asked");
      ++ran;
    }
  }
  CHECK(ran >= 10);
  // The module's own relay: on once and off once for each of them, and for nothing else.
  CHECK(eventually([&] { return site.switched("lift-contact off") == ran; }));
  CHECK(site.switched("lift-contact on") == ran);
  CHECK(site.status("/pumps/0/mode") == "off");
  CHECK(proof->out().find("mode lift auto") != std::string::npos);
  CHECK(site.journal_tells({"source-low is forced on lift"}));
}

TEST_CASE("prove: a person who saw the contactor stay in makes the row fail", "[e2e][prove][rule-18]") {
  Site site;
  const auto proof = site.prove({"drain", "--record", site.record()});
  proof->write("n\ny\n?\n");
  proof->close_input();
  REQUIRE(proof->wait_exit(kWhole) == 1);
  const json record = json::parse(support::read_file(site.record()));
  CHECK(record["passed"] == false);
  CHECK(count_of(record, "failed") == 1);
  CHECK(row_of(record, "contact-unreachable")["result"] == "failed");
  CHECK(row_of(record, "contact-unreachable")["contactor"] == "did not drop out");
  CHECK(row_of(record, "tank-unknown")["contactor"] == "dropped out");
  CHECK(row_of(record, "source-low")["contactor"] == "not known");
  CHECK(row_of(record, "mode-off")["contactor"] == "not asked");
}

TEST_CASE("prove: a proof that is killed leaves the pump off, and there is one at a time",
          "[e2e][prove][rule-18]") {
  Site site;
  const auto proof = site.prove({"lift", "--record", site.record()});
  REQUIRE(site.orchard().wait_line("contact lift-contact on"));
  const auto second = site.prove({"bore", "--record", site.directory().file("second.json")});
  CHECK(second->wait_exit() == 4);
  CHECK(second->err().find("one at a time") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(site.directory().file("second.json")));
  proof->signal(SIGKILL);
  REQUIRE(proof->wait_exit());
  CHECK(site.journal_tells({"proof-left", "lift is off"}));
  CHECK(site.status_becomes("/pumps/0/mode", "off"));
  CHECK(site.status_becomes("/pumps/0/contact", "off"));
  CHECK(eventually([&] { return site.switched("lift-contact off") == site.switched("lift-contact on"); }));
}

TEST_CASE("prove: blocked, the relay is never driven, and what needs a run is not tried",
          "[e2e][prove][rule-18]") {
  Site site;
  const auto proof = site.prove({"lift", "--blocked", "--json", "--record", site.record()});
  const auto code = proof->wait_exit(kWhole);
  INFO(proof->out() << proof->err());
  REQUIRE(code == 1);
  const json record = json::parse(proof->out());
  CHECK(record == json::parse(support::read_file(site.record())));
  CHECK(record["blocked"] == true);
  CHECK(count_of(record, "failed") == 0);
  CHECK(count_of(record, "not tried") == 2);
  for (const char* cause : {"no-feedback", "no-power"})
    CHECK(row_of(record, cause)["result"] == "not tried");
  for (const char* cause : {"source-low", "float", "tank-high", "source-float", "contact-unreachable"})
    CHECK(row_of(record, cause)["result"] == "passed");
  CHECK(site.switched("lift-contact on") == 0);
}

TEST_CASE("prove: what holds the pump by itself makes a row not tried, and says what it was",
          "[e2e][prove][rule-18]") {
  Site site;
  site.order("set cistern 8 %");
  REQUIRE(site.status_becomes("/tanks/1/percent", "8.0"));
  const auto proof = site.prove({"lift", "--record", site.record()});
  REQUIRE(eventually(
      [&] { return support::read_file(site.record()).find("held by source-low") != std::string::npos; },
      Bound{60'000}));
  CHECK(site.switched("lift-contact on") == 0);
}

TEST_CASE("prove: without a daemon, with a strange pump or a record that is there, nothing is begun",
          "[e2e][prove]") {
  Site site;
  CHECK(site.prove({"header", "--record", site.record()})->wait_exit() == 2);
  CHECK_FALSE(std::filesystem::exists(site.record()));
  support::write_file(site.record(), "kept\n");
  CHECK(site.prove({"lift", "--record", site.record()})->wait_exit() == 2);
  CHECK(support::read_file(site.record()) == "kept\n");
  site.daemon().signal(SIGTERM);
  REQUIRE(site.daemon().wait_exit());
  CHECK(site.prove({"lift", "--record", site.directory().file("other.json")})->wait_exit() == 3);
  CHECK_FALSE(std::filesystem::exists(site.directory().file("other.json")));
}

TEST_CASE("prove: a daemon that runs another configuration than the one that is named is not proved",
          "[e2e][prove]") {
  Site site;
  const std::string text = support::read_file(site.configuration());
  support::write_file(site.configuration(), text + "# edited since the daemon began\n");
  const auto refused = site.prove({"lift", "--record", site.record()});
  CHECK(refused->wait_exit() == 4);
  CHECK(refused->err().find("another configuration") != std::string::npos);
  CHECK(refused->err().find(site.status("/configuration_crc_32")) != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(site.record()));
  CHECK(site.status("/pumps/0/mode") == "auto");
  support::write_file(site.configuration(), text);
  const auto begun = site.prove({"lift", "--record", site.record()});
  CHECK(site.orchard().wait_line("contact lift-contact on"));
}

TEST_CASE("prove: a record that cannot be written any more ends the proof at once, with the pump off",
          "[e2e][prove][rule-18]") {
  Site site;
  const std::string folder = site.directory().file("records");
  std::filesystem::create_directory(folder);
  const auto proof = site.prove({"lift", "--record", folder + "/record.json"});
  proof->close_input();
  REQUIRE(site.orchard().wait_line("contact lift-contact on"));
  std::filesystem::remove_all(folder);
  CHECK(proof->wait_exit(kWhole) == 1);
  CHECK(proof->err().find("cannot be written") != std::string::npos);
  CHECK(proof->out().find("the record is") == std::string::npos);
  CHECK(site.status("/pumps/0/mode") == "off");
  CHECK(site.status_becomes("/pumps/0/contact", "off"));
  CHECK(eventually([&] { return site.switched("lift-contact off") == 1; }));
  CHECK(site.switched("lift-contact on") == 1);
  CHECK(site.command({"mode", "lift", "auto"}).out.find("broken off") == std::string::npos);  // it has ended
}

TEST_CASE("prove: a person who takes the pump out of service meanwhile ends the proof, and it stays out",
          "[e2e][prove][rule-16][rule-18]") {
  Site site;
  const auto proof = site.prove({"lift", "--record", site.record()});
  proof->close_input();
  REQUIRE(site.orchard().wait_line("contact lift-contact on"));
  REQUIRE(site.command({"service", "lift", "out"}).code == 0);
  CHECK(proof->wait_exit(kWhole) == 1);
  CHECK(site.status("/pumps/0/state") == "out-of-service");
  CHECK(support::read_file(site.record()).find("the proof was broken off") != std::string::npos);
}

TEST_CASE("observe: with a low header the lift would start, and its relay never closes",
          "[e2e][observe][rule-18]") {
  Site site;
  site.daemon().signal(SIGTERM);
  REQUIRE(site.daemon().wait_exit());
  const std::string state = support::read_file(site.directory().file("state/state.json"));
  REQUIRE_FALSE(state.empty());
  site.order("set header 30 %");
  site.start_daemon({"--observe"});
  CHECK(eventually([&] {
    return support::read_file(site.directory().file("state/observed/journal.jsonl"))
               .find("would start: Lift pump") != std::string::npos;
  }));
  CHECK(site.status_becomes("/pumps/0/order", "on"));
  CHECK(site.status("/name").find("only observed") != std::string::npos);
  CHECK(site.command({"prove", "lift", "--config", site.configuration(), "--record", site.record()}).code ==
        4);
  site.order("set cistern 8 %");
  CHECK(site.status_becomes("/pumps/0/first_out", "source-low"));
  site.daemon().signal(SIGTERM);
  REQUIRE(site.daemon().wait_exit());
  CHECK(site.switched("lift-contact on") == 0);
  CHECK(support::read_file(site.directory().file("state/state.json")) == state);
}
