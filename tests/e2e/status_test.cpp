// `status` as a person meets it: in a pipe, and in a terminal of its own (script(1) makes one).

#include <csignal>
#include <sstream>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include "support/places.hpp"

using support::eventually;
using support::Gateway;
using support::Process;

namespace {

const std::string kStatus = support::binary_dir() + "/stillwell status";

/// A shell command in a terminal of its own, with a UTF-8 locale.
std::unique_ptr<Process> in_terminal(const std::string& command) {
  return std::make_unique<Process>(
      std::vector<std::string>{"script", "-qefc", command, "/dev/null"},
      std::vector<std::string>{"TERM=xterm", "LC_ALL=C.UTF-8", "NO_COLOR=", "SHELL=/bin/sh"});
}

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

/// The longest run of letters in the last frame, without the escape sequences: about its width.
std::size_t widest_line_of_last_frame(const std::string& text) {
  std::string frame = text.substr(text.rfind("\x1b[H"));
  std::size_t widest = 0;
  std::size_t width = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    const auto byte = static_cast<unsigned char>(frame[i]);
    if (byte == 0x1B) {
      while (i < frame.size() && !std::isalpha(static_cast<unsigned char>(frame[i])))
        ++i;
    } else if (byte == '\n' || byte == '\r') {
      width = 0;
    } else if ((byte & 0xC0U) != 0x80U) {
      widest = std::max(widest, ++width);
    }
  }
  return widest;
}

}  // namespace

TEST_CASE("status: in a pipe it is one plain picture", "[e2e][status]") {
  const Gateway gateway{Gateway::With::no_broker};
  for (const char* tank : {"0", "1", "2", "3"}) {
    REQUIRE(gateway.status_becomes(std::string("/tanks/") + tank + "/quality", "good"));
  }
  const auto ended = gateway.command({"status"});
  CHECK(ended.code == 0);
  CHECK(contains(ended.out, "no broker"));
  CHECK(contains(ended.out, "stopped"));
  CHECK_FALSE(contains(ended.out, "\x1b"));
  CHECK(ended.err.empty());
}

TEST_CASE("status: an alarm that is put aside asks for nobody, and is shown in one line",
          "[e2e][status][alarms]") {
  Gateway gateway{Gateway::With::no_broker};
  for (const char* tank : {"0", "1", "2", "3"}) {
    REQUIRE(gateway.status_becomes(std::string("/tanks/") + tank + "/quality", "good"));
  }
  REQUIRE(gateway.command({"shelve", "cistern/low", "--for", "1 h", "--because", "cleaning"}).code == 0);
  const auto shelved = gateway.command({"status"});
  CHECK(shelved.code == 0);
  CHECK(contains(shelved.out, "put aside: shelved cistern/low until "));
  CHECK(contains(shelved.out, "(cleaning)"));
  // Its condition changes nothing of that; the same alarm in its place does.
  gateway.order("set cistern 18 %");
  REQUIRE(gateway.command({"unshelve", "cistern/low"}).code == 0);
  CHECK(support::eventually([&] { return gateway.command({"status"}).code == 1; }));
}

TEST_CASE("status: without a daemon it exits 3 and says what to do", "[e2e][status]") {
  const support::TemporaryDirectory empty;
  Process status{{support::binary_dir() + "/stillwell", "status", "--socket", empty.file("none")}};
  CHECK(status.wait_exit() == 3);
  CHECK(status.out().empty());
  CHECK(contains(status.err(), "cannot reach the daemon at " + empty.file("none")));
  CHECK(contains(status.err(), "Is the daemon running"));
}

TEST_CASE("status: watched through a pipe it prints pictures until it is asked to end", "[e2e][status]") {
  const Gateway gateway{Gateway::With::no_broker};
  Process watch{{support::binary_dir() + "/stillwell", "status", "--watch", "--socket",
                 gateway.directory().file("socket")}};
  CHECK(eventually([&] { return count_of(watch.out(), "no broker") >= 3; }));
  watch.signal(SIGTERM);
  CHECK(watch.wait_exit() == 0);
  CHECK_FALSE(contains(watch.out(), "\x1b"));
}

TEST_CASE("status: watched in a terminal it draws in place and gives the cursor back", "[e2e][status]") {
  const Gateway gateway{Gateway::With::no_broker};
  const auto watch = in_terminal("stty rows 30 cols 70; exec " + kStatus + " --watch --socket " +
                                 gateway.directory().file("socket"));
  REQUIRE(eventually([&] { return count_of(watch->out(), "\x1b[H") >= 3; }));
  CHECK(contains(watch->out(), "\x1b[?25l"));
  CHECK(contains(watch->out(), "│"));
  CHECK(contains(watch->out(), "\x1b[0;36m"));  // water has its colour
  CHECK(count_of(watch->out(), "\x1b[2J") == 0);
  CHECK(widest_line_of_last_frame(watch->out()) <= 70);

  watch->write("\x03");  // Ctrl-C
  CHECK(watch->wait_exit() == 0);
  const auto out = watch->out();
  const auto restored = out.rfind("\x1b[?25h");
  REQUIRE(restored != std::string::npos);
  CHECK(restored > out.rfind("\x1b[?25l"));
  CHECK(contains(out.substr(restored), "no broker"));  // the last picture stays
}

TEST_CASE("status: a terminal that changes its size gets a picture of that size", "[e2e][status]") {
  const Gateway gateway{Gateway::With::no_broker};
  const auto watch = in_terminal("stty rows 30 cols 80; tty; exec " + kStatus + " --watch --socket " +
                                 gateway.directory().file("socket"));
  REQUIRE(eventually([&] { return count_of(watch->out(), "\x1b[K") >= 20; }));
  const auto tty = watch->wait_line("/dev/pts/");
  REQUIRE(tty);
  const auto device = tty->substr(0, tty->find_first_of("\r\n"));
  Process stty{{"stty", "-F", device, "rows", "12", "cols", "40"}};
  REQUIRE(stty.wait_exit() == 0);
  CHECK(eventually([&] {
    const auto out = watch->out();
    const auto frame = out.substr(out.rfind("\x1b[H"));
    return contains(frame, "\x1b[J") && count_of(frame, "\x1b[K") <= 12 &&
           widest_line_of_last_frame(out) <= 40;
  }));
  watch->write("\x03");
  CHECK(watch->wait_exit() == 0);
}

TEST_CASE("status: a watch outlives the daemon and finds the next one", "[e2e][status]") {
  Gateway gateway{Gateway::With::no_broker};
  const auto watch =
      in_terminal("exec " + kStatus + " --watch --socket " + gateway.directory().file("socket"));
  REQUIRE(watch->wait_line("no broker"));
  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit().has_value());
  CHECK(watch->wait_line("NO ANSWER, trying again"));
  gateway.start_daemon();
  CHECK(eventually([&] {
    const auto out = watch->out();
    const auto frame = out.substr(out.rfind("\x1b[H"));
    return contains(frame, "\x1b[J") && contains(frame, "no broker");
  }));
  watch->write("\x03");
  CHECK(watch->wait_exit() == 0);
}
