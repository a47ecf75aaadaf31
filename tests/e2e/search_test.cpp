// `stillwell search` on real wires: what it finds, what it tells apart, what it leaves alone.

#include <atomic>
#include <csignal>
#include <filesystem>
#include <thread>

#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/modbus_module.hpp"
#include "support/places.hpp"
#include "support/process.hpp"
#include "support/pty_peer.hpp"
#include <fcntl.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <unistd.h>

using nlohmann::json;
using support::Bytes;
using support::eventually;
using support::Gateway;

namespace {

constexpr support::Bound kSearchBound{120'000};
const std::string kProgram = support::binary_dir() + "/stillwell";

Gateway::Ended run_search(std::vector<std::string> words) {
  words.insert(words.begin(), {kProgram, "search"});
  words.insert(words.end(), {"--socket", "/nowhere/stillwell.sock"});
  support::Process process{words};
  const int code = process.wait_exit(kSearchBound).value_or(-1);
  return {code, process.out(), process.err()};
}

/// One speed and few stations, so that a test is short.
Gateway::Ended search(const std::string& port, std::vector<std::string> more = {}) {
  more.insert(more.begin(), {port, "--config", "/nowhere/stillwell.yaml", "--speeds", "9600 8N1",
                             "--stations", "15-19", "--reply-within", "150 ms"});
  return run_search(more);
}

json at_one_speed(const Gateway::Ended& ended) {
  const auto result = json::parse(ended.out, nullptr, false);
  INFO(ended.out << ended.err);
  REQUIRE_FALSE(result.is_discarded());
  REQUIRE(result["speeds"].size() == 1);
  return result["speeds"][0];
}

/// Bytes that come by themselves, again and again.
class Babbler {
 public:
  template <class Next>
  Babbler(support::PtyPeer& peer, Next next)
      : thread_{[this, &peer, next]() mutable {
          while (!stop_) {
            peer.send(next());
            std::this_thread::sleep_for(std::chrono::milliseconds{50});
          }
        }} {}
  ~Babbler() {
    stop_ = true;
    thread_.join();
  }
  Babbler(const Babbler&) = delete;
  Babbler& operator=(const Babbler&) = delete;

 private:
  std::atomic<bool> stop_{false};
  std::thread thread_;
};

Bytes frame_of(int millimetres) {
  Bytes frame{0xFF, static_cast<std::uint8_t>(millimetres >> 8),
              static_cast<std::uint8_t>(millimetres & 0xFF)};
  frame.push_back(static_cast<std::uint8_t>(frame[0] + frame[1] + frame[2]));
  return frame;
}

}  // namespace

TEST_CASE("search: a Modbus sensor that nobody knows is found, and only read", "[e2e][rule-20]") {
  support::ModbusModule module{17};
  std::atomic<int> reads{0};
  support::PtyPeer peer{[&](const Bytes& request) {
    module.set_word(4, 3, static_cast<std::uint16_t>(1953 + reads++ % 3));  // it moves; the others stand
    return module.serve(request);
  }};
  module.set_word(4, 0, 7);
  const auto ended = search(peer.path(), {"--json"});
  CHECK(ended.code == 0);
  const json seen = at_one_speed(ended);
  REQUIRE(seen["stations"].size() == 1);
  CHECK(seen["stations"][0]["station"] == 17);
  CHECK(seen["noises"] == 0);
  CHECK(seen["echoes"] == 0);
  const auto yaml = json::parse(ended.out)["proposal"].get<std::string>();
  CHECK(yaml.find("port: '" + peer.path() + "', speed: 9600 8N1, carries: modbus") != std::string::npos);
  CHECK(yaml.find("station: 17\n    distance: { table: input, address: 3, as: u16, unit: mm }") !=
        std::string::npos);
  for (const auto& request : peer.requests()) {
    CHECK((request.at(1) == 3 || request.at(1) == 4));
    CHECK((request.at(4) == 0 && request.at(5) == 1));  // one register
  }
}

TEST_CASE("search: what it proposes can be pasted and sounded", "[e2e]") {
  support::ModbusModule module{17};
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  module.set_word(4, 2, 1953);
  const auto found = search(peer.path(), {"--json"});
  REQUIRE(found.code == 0);
  support::TemporaryDirectory directory;
  support::write_file(directory.file("site.yaml"),
                      "site: { id: orchard }\n" + json::parse(found.out)["proposal"].get<std::string>() +
                          "tanks: { header: { gauge: new-gauge, to_floor: 3 m, to_full: 40 cm, holds: { "
                          "capacity: 1000 L } } }\n");
  support::Process sound{{kProgram, "sound", "new-gauge", "--for", "4 s", "--config",
                          directory.file("site.yaml"), "--socket", directory.file("socket")}};
  CHECK(sound.wait_exit(kSearchBound).value_or(-1) <= 1);
  INFO(sound.out() << sound.err());
  CHECK(sound.out().find("mean 1.953 m") != std::string::npos);
}

TEST_CASE("search: a station that refuses is a station, and says so by name", "[e2e]") {
  support::ModbusModule module{17};
  module.answer_exception(2);
  support::PtyPeer peer{[&](const Bytes& request) { return module.serve(request); }};
  const auto ended = search(peer.path());
  CHECK(ended.code == 0);
  CHECK(ended.out.find("station 17 answers; holding register 0: exception 2, illegal data address") !=
        std::string::npos);
  CHECK(ended.out.find("Proposed") == std::string::npos);
}

TEST_CASE("search: a station that is slower than it is waited for is found by its late reply", "[e2e]") {
  support::ModbusModule module{17};
  module.answer_exception(1);
  support::PtyPeer peer{[&](const Bytes& request) {
    auto bursts = module.serve(request);
    for (auto& burst : bursts)
      burst.after = std::chrono::milliseconds{900};
    return bursts;
  }};
  const auto ended = run_search({peer.path(), "--config", "/nowhere/stillwell.yaml", "--speeds", "9600 8N1",
                                 "--stations", "17-18", "--reply-within", "600 ms", "--json"});
  CHECK(ended.code == 0);
  const json seen = at_one_speed(ended);
  REQUIRE(seen["stations"].size() == 1);
  CHECK(seen["stations"][0]["station"] == 17);
  CHECK(seen["stations"][0]["late"] == true);
}

TEST_CASE("search: a server that is not ours is found", "[e2e]") {
  support::TemporaryDirectory directory;
  const std::string ours = directory.file("ours");
  const std::string theirs = directory.file("theirs");
  support::Process cable{{"socat", "pty,raw,echo=0,link=" + ours, "pty,raw,echo=0,link=" + theirs}};
  REQUIRE(eventually([&] { return std::filesystem::exists(ours) && std::filesystem::exists(theirs); }));
  support::Process server{
      {"/usr/bin/python3", support::source_dir() + "/tests/support/pymodbus_server.py", theirs, "17"}};
  REQUIRE(server.wait_line("ready"));
  const auto ended = search(ours, {"--json"});
  CHECK(ended.code == 0);
  REQUIRE(at_one_speed(ended)["stations"].size() == 1);
  CHECK(at_one_speed(ended)["stations"][0]["station"] == 17);
  CHECK(json::parse(ended.out)["proposal"].get<std::string>().find("table: input, address: 0") !=
        std::string::npos);
}

TEST_CASE("search: a sensor that sends by itself is recognized before anybody is asked", "[e2e]") {
  support::PtyPeer peer{[](const Bytes&) { return std::vector<support::Burst>{}; }};
  Gateway::Ended ended;
  {
    int count = 0;
    const Babbler sensor{peer, [count]() mutable { return frame_of(1953 + count++ % 3); }};
    ended = search(peer.path(), {"--json"});
  }
  CHECK(ended.code == 0);
  CHECK(at_one_speed(ended)["heard"] == "binary");
  CHECK(at_one_speed(ended)["asked"] == false);
  CHECK(json::parse(ended.out)["proposal"].get<std::string>().find(
            "frame: { kind: binary, start: 0xFF, value: u16be, sum: low-byte, unit: mm }") !=
        std::string::npos);
  CHECK(peer.requests().empty());
}

TEST_CASE("search: an adapter that hears itself is told apart from a station", "[e2e]") {
  support::ModbusModule module{17};
  bool is_there = false;
  support::PtyPeer peer{[&](const Bytes& request) {
    std::vector<support::Burst> bursts{{request}};
    if (is_there)
      for (const auto& burst : module.serve(request))
        bursts.push_back(burst);
    return bursts;
  }};
  const auto alone = search(peer.path());
  CHECK(alone.code == 1);
  CHECK(alone.out.find("local echo: 5 questions came back verbatim") != std::string::npos);
  CHECK(alone.out.find("no station answers") != std::string::npos);
  is_there = true;
  const auto both = at_one_speed(search(peer.path(), {"--json"}));
  CHECK(both["echoes"] == 5);
  CHECK(both["stations"].size() == 1);
}

TEST_CASE("search: noise is no sensor, whether it comes by itself or as an answer", "[e2e]") {
  support::Dice dice{5};
  const auto noise = [&dice] {
    Bytes bytes;
    for (int n = 0; n < 9; ++n)
      bytes.push_back(static_cast<std::uint8_t>(dice.roll(256)));
    return bytes;
  };
  support::PtyPeer peer{[&](const Bytes&) { return std::vector<support::Burst>{{noise()}}; }};
  const auto answered = search(peer.path(), {"--json"});
  CHECK(answered.code == 1);
  CHECK(at_one_speed(answered)["noises"] == 5);
  CHECK(at_one_speed(answered)["stations"].empty());
  peer.follow([](const Bytes&) { return std::vector<support::Burst>{}; });
  Gateway::Ended heard;
  {
    const Babbler line{peer, noise};
    heard = search(peer.path());
  }
  CHECK(heard.code == 1);
  CHECK(heard.out.find("9600 8N1: noise: ") != std::string::npos);
  CHECK(heard.out.find("Nothing was recognized.") != std::string::npos);
}

TEST_CASE("search: a line that a daemon holds is refused, and free when it has ended", "[e2e][rule-20]") {
  Gateway gateway{Gateway::With::no_broker};
  const auto by_name = gateway.command({"search", "shed", "--config", gateway.configuration()});
  CHECK(by_name.code == 4);
  CHECK(by_name.err.find("held by the running daemon") != std::string::npos);
  const auto by_path =
      gateway.command({"search", gateway.directory().file("shed"), "--config", gateway.configuration()});
  CHECK(by_path.code == 4);
  // Whoever knows neither configuration nor socket is refused by the line itself.
  const auto blind = run_search({gateway.directory().file("shed"), "--config", "/nowhere/stillwell.yaml"});
  CHECK(blind.code == 4);
  CHECK(gateway.status("/lines/0/open") == "true");

  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit());
  const auto freed = gateway.command({"search", "shed", "--config", gateway.configuration(), "--speeds",
                                      "19200 8N1", "--stations", "1-3", "--json"});
  CHECK(freed.code == 0);
  CHECK(freed.err.find("contacts are on this line: lift-contact (station 10)") != std::string::npos);
  CHECK(at_one_speed(freed)["stations"].size() == 2);
  const auto mast = gateway.command({"search", "mast", "--config", gateway.configuration(), "--json"});
  CHECK(mast.code == 0);
  const auto yaml = json::parse(mast.out)["proposal"].get<std::string>();
  CHECK(yaml.find("lines:") == std::string::npos);  // it is in the configuration, at this speed
  CHECK(yaml.find("frame: { kind: binary, start: 0xFF, value: u16be, sum: low-byte, unit: mm }") !=
        std::string::npos);
}

TEST_CASE("search: what cannot be done says why, each with its exit code", "[e2e]") {
  support::PtyPeer peer{[](const Bytes&) { return std::vector<support::Burst>{}; }};
  CHECK(run_search({peer.path(), "--stations", "0-9"}).code == 2);
  CHECK(run_search({peer.path(), "--speeds", "9600"}).code == 2);
  CHECK(run_search({peer.path(), "--reply-within", "1 h"}).code == 2);
  CHECK(run_search({"shed", "--config", "/nowhere/stillwell.yaml"}).code == 2);
  const auto unplugged = search("/nowhere/ttyUSB0");
  CHECK(unplugged.code == 3);
  CHECK(unplugged.err.find("is it plugged in?") != std::string::npos);
  const int held = ::open(peer.path().c_str(), O_RDWR | O_NOCTTY);
  REQUIRE(held >= 0);
  REQUIRE(::flock(held, LOCK_EX | LOCK_NB) == 0);
  CHECK(search(peer.path()).code == 4);
  ::close(held);
  CHECK(peer.requests().empty());
  CHECK(search(peer.path()).code == 1);  // nobody is there
}
