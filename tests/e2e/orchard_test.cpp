// The orchard as it is started for real: its own program, its own ptys, raw bytes on them. The frames asked
// with are built by hand or taken from tests/reference/08_modbus_frames.csv's rules; nothing of the daemon's
// client is used here.

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/orchard_process.hpp"

using namespace std::chrono_literals;
using namespace support;

namespace {

int word(const Bytes& reply, std::size_t at) {
  return reply.at(at) * 256 + reply.at(at + 1);
}

const Bytes kAskHeader = request(1, 4, 0, 1);

}  // namespace

TEST_CASE("orchard: a Modbus master on its pty reads the header", "[e2e][orchard]") {
  Orchard orchard;
  orchard.order("set header 50 %");
  Port shed{orchard.shed()};
  REQUIRE(shed.opened());
  const Bytes reply = shed.ask(kAskHeader, 7);
  CHECK(reply[0] == 1);
  CHECK(reply[1] == 4);
  CHECK(word(reply, 3) == 750);  // 1.15 m to the floor, 0.40 m of water
  // Longer, with the air beside it: 15.0 degC and a register that means nothing.
  const Bytes longer = shed.ask(request(1, 4, 0, 3), 11);
  CHECK(word(longer, 5) == 150);
  CHECK(word(longer, 7) == 0);
}

TEST_CASE("orchard: a coil written on the wire turns the pump and moves the water", "[e2e][orchard]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  CHECK(shed.ask(request(10, 5, 1, 0xFF00), 8) == Bytes{10, 5, 0, 1, 0xFF, 0});
  CHECK(orchard.program().wait_line("contact bore-contact on "));
  CHECK(shed.ask(request(10, 1, 1, 1), 6) == Bytes{10, 1, 1, 1});
  CHECK(eventually([&] {
    return orchard.order("show").find("\"bore\":{\"turning\":true,\"flow_l_min\":270.00}") !=
           std::string::npos;
  }));
  shed.ask(request(10, 5, 1, 0), 8);
  CHECK(orchard.program().wait_line("contact bore-contact off "));
}

TEST_CASE("orchard: a relay with a drop-out timer lets go when nobody refreshes it", "[e2e][orchard]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  shed.ask(request(10, 6, 40, 1), 8);  // one second
  shed.ask(request(10, 5, 0, 0xFF00), 8);
  CHECK(orchard.program().wait_line("contact lift-contact on "));
  CHECK(orchard.program().wait_line("contact lift-contact off "));
}

TEST_CASE("orchard: a range-frame sensor speaks by itself", "[e2e][orchard]") {
  Orchard orchard;
  orchard.order("set cistern 50 %");
  Port mast{orchard.mast()};
  REQUIRE(mast.opened());
  // 1.00 m to the floor, 0.30 m of water: 700 mm; old readings may come first.
  const Bytes frame{0xFF, 0x02, 0xBC, 0xBD};
  Bytes heard;
  CHECK(eventually([&] {
    const Bytes more = mast.take(4, 2s);
    heard.insert(heard.end(), more.begin(), more.end());
    return std::search(heard.begin(), heard.end(), frame.begin(), frame.end()) != heard.end();
  }));
}

TEST_CASE("orchard: bytes come at the pace of the line", "[e2e][orchard]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  const auto begun = std::chrono::steady_clock::now();
  shed.ask(request(1, 4, 0, 16), 37);
  const auto taken = std::chrono::steady_clock::now() - begun;
  // 8 characters there, 3.5 of silence, 37 back; 11 bits each at 19200 baud. Never sooner; how much later is
  // the machine's affair.
  CHECK(taken >= std::chrono::duration<double>(48.5 * 11.0 / 19200.0) - 1ms);
}

TEST_CASE("orchard: silence and a bad sum to order, and an end to them", "[e2e][orchard][fault]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  orchard.order("fault header-top silence");
  shed.send(kAskHeader);
  CHECK(shed.take(1, 200ms).empty());
  CHECK(shed.ask(request(2, 4, 0, 1), 7)[0] == 2);  // its neighbour still answers
  orchard.order("clear header-top");
  orchard.order("fault header-top bad-sum");
  shed.send(kAskHeader);
  Bytes reply = shed.take(7);
  REQUIRE(reply.size() == 7);
  Bytes again{reply.begin(), reply.end() - 2};
  append_sum(again);
  CHECK(again != reply);
  orchard.order("clear header-top");
  shed.ask(kAskHeader, 7);
}

TEST_CASE("orchard: a late reply comes after the punctual one of another station", "[e2e][orchard][fault]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  orchard.order("fault header-top late 500 ms");
  shed.send(kAskHeader);
  const Bytes punctual = shed.ask(request(2, 4, 0, 1), 7);
  CHECK(punctual[0] == 2);
  const Bytes late = shed.take(7);
  REQUIRE(late.size() == 7);
  CHECK(late[0] == 1);
}

TEST_CASE("orchard: an unplugged line is gone and comes back under the same name", "[e2e][orchard][fault]") {
  Orchard orchard;
  {
    Port shed{orchard.shed()};
    shed.ask(kAskHeader, 7);
    orchard.order("fault shed unplugged");
    CHECK(eventually([&] { return shed.hung_up(); }));
    CHECK(eventually([&] { return !std::filesystem::exists(orchard.shed()); }));
  }
  orchard.order("clear shed");
  REQUIRE(eventually([&] { return std::filesystem::exists(orchard.shed()); }));
  Port shed{orchard.shed()};
  CHECK(shed.ask(kAskHeader, 7)[0] == 1);
}

TEST_CASE("orchard: a welded contact turns on with its coil off", "[e2e][orchard][fault]") {
  Orchard orchard;
  Port shed{orchard.shed()};
  orchard.order("fault lift-contact welded");
  CHECK(orchard.program().wait_line("contact lift-contact on "));
  CHECK(shed.ask(request(10, 1, 0, 1), 6)[3] == 0);
  CHECK(shed.ask(request(10, 2, 2, 1), 6)[3] == 1);  // the feedback shows it
}

TEST_CASE("orchard: ends on SIGTERM, on quit and, if told, with its input; its links go with it",
          "[e2e][orchard]") {
  Orchard orchard;
  REQUIRE(std::filesystem::is_symlink(orchard.shed()));
  orchard.program().signal(SIGTERM);
  CHECK(orchard.program().wait_exit() == 0);
  CHECK_FALSE(std::filesystem::is_symlink(orchard.shed()));
  orchard.start();
  orchard.program().write("quit\n");
  CHECK(orchard.program().wait_exit() == 0);
  orchard.start({"--until-eof"});
  orchard.program().close_input();
  CHECK(orchard.program().wait_exit() == 0);
  CHECK_FALSE(std::filesystem::is_symlink(orchard.mast()));
}

TEST_CASE("orchard: without a standard input it goes on", "[e2e][orchard]") {
  Orchard orchard;
  orchard.program().close_input();
  Port shed{orchard.shed()};
  shed.ask(kAskHeader, 7);
  CHECK(orchard.program().alive());
}

TEST_CASE("orchard: the demonstration's scenario sets its waters moving", "[e2e][orchard]") {
  Orchard orchard;
  orchard.program().write("quit\n");
  REQUIRE(orchard.program().wait_exit() == 0);
  orchard.start({"--scenario", kDemo + "scenario.yaml"});
  Port shed{orchard.shed()};
  const auto distance = [&] { return word(shed.ask(kAskHeader, 7), 3); };
  // 38 % of 0.80 m at the beginning, and the house draws: farther than 0.846 m below the face, more and more.
  const int first = distance();
  CHECK(first > 830);
  CHECK(eventually([&] { return distance() > first + 20; }));
}

TEST_CASE("orchard: leaves alone what is no pseudo-terminal of its kind", "[e2e][orchard]") {
  Orchard orchard;
  orchard.program().signal(SIGTERM);
  REQUIRE(orchard.program().wait_exit() == 0);
  const std::vector<std::string> command{kOrchard, "--config", orchard.directory().file("stillwell.yaml")};
  write_file(orchard.shed(), "somebody's");
  Process refused{command};
  CHECK(refused.wait_exit() == 3);
  CHECK(refused.wait_line("is no symbolic link; it is left alone"));
  CHECK(read_file(orchard.shed()) == "somebody's");
  std::filesystem::remove(orchard.shed());
  std::filesystem::create_symlink("/dev/ttyUSB0", orchard.shed());
  Process again{command};
  CHECK(again.wait_exit() == 3);
  CHECK(std::filesystem::read_symlink(orchard.shed()) == "/dev/ttyUSB0");
  std::filesystem::remove(orchard.shed());
  std::filesystem::create_symlink("/dev/pts/4000", orchard.shed());  // left by one that was killed
  Process taken{command};
  CHECK(taken.wait_line("ready"));
}

TEST_CASE("orchard: wrong options and broken files are named and end it", "[e2e][orchard]") {
  Orchard orchard;
  for (const auto& more : std::vector<std::vector<std::string>>{{"--dance"},
                                                                {"--scenario"},
                                                                {"--scenario", "/nowhere.yaml"},
                                                                {"--scenario", kDemo + "stillwell.yaml"}}) {
    std::vector<std::string> command{kOrchard, "--config", orchard.directory().file("stillwell.yaml")};
    command.insert(command.end(), more.begin(), more.end());
    Process program{command};
    CHECK(program.wait_exit() == 2);
    CHECK(eventually([&] { return !program.err().empty(); }));
  }
}
