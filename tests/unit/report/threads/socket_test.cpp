#include "stillwell/report/socket.hpp"

#include "stillwell/report/client.hpp"
#include "stillwell/report/stream.hpp"

#include <atomic>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <thread>

#include "support/catch.hpp"
#include "support/process.hpp"
#include <nlohmann/json.hpp>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using namespace std::string_literals;
using nlohmann::json;
using support::TemporaryDirectory;

namespace {

SocketHandlers plain_handlers() {
  return {[] { return R"({"site":"orchard"})"; },
          [](const Command& command) {
            return Answer{1, true, "did it to " + command.target};
          }};
}

json ask(const std::string& path, const std::string& request) {
  const auto answer = ask_daemon(path, request);
  INFO((answer ? *answer : answer.error()));
  REQUIRE(answer.ok());
  return json::parse(*answer);
}

Descriptor connected(const std::string& path) {
  auto connection = connect_to(*address_of(path));
  REQUIRE(connection);
  return std::move(*connection);
}

Deadline soon() {
  return std::chrono::steady_clock::now() + support::kPatience;
}

/// A socket file that somebody left behind when it died.
void leave_stale_socket(const std::string& path) {
  const auto address = address_of(path);
  const Descriptor dead{::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)};
  REQUIRE(::bind(dead.get(), reinterpret_cast<const sockaddr*>(&*address), sizeof *address) == 0);
}

}  // namespace

TEST_CASE("socket: status and commands are answered", "[report][socket]") {
  const TemporaryDirectory run;
  const auto path = run.file("stillwell.sock");
  const Socket socket{path, plain_handlers()};
  CHECK(ask(path, R"({"do":"status"})")["site"] == "orchard");
  const auto answer = ask(path, R"({"do":"reset","target":"lift"})");
  CHECK(answer["done"] == true);
  CHECK(answer["text"] == "did it to lift");
}

TEST_CASE("socket: it belongs to user and group only, and goes away with the daemon", "[report][socket]") {
  const TemporaryDirectory run;
  const auto path = run.file("stillwell.sock");
  {
    const Socket socket{path, plain_handlers()};
    struct stat status {};
    REQUIRE(::stat(path.c_str(), &status) == 0);
    CHECK((status.st_mode & 07777U) == 0660U);
  }
  CHECK_FALSE(std::filesystem::exists(path));
}

TEST_CASE("socket: several requests on one connection are answered in order", "[report][socket]") {
  const TemporaryDirectory run;
  const Socket socket{run.file("s"), plain_handlers()};
  const auto connection = connected(run.file("s"));
  std::string requests;
  for (int i = 0; i < 20; ++i)
    requests += R"({"do":"reset","target":"pump)" + std::to_string(i) + "\"}\n";
  REQUIRE(write_all(connection.get(), requests, soon()));
  LineReader reader{connection.get(), 1000};
  for (int i = 0; i < 20; ++i) {
    std::string line;
    REQUIRE(reader.next(line, soon()) == LineEnd::complete);
    CHECK(json::parse(line)["text"] == "did it to pump" + std::to_string(i));
  }
}

TEST_CASE("socket: garbage is refused and the next request still answered", "[report][socket]") {
  const TemporaryDirectory run;
  const Socket socket{run.file("s"), plain_handlers()};
  const auto connection = connected(run.file("s"));
  REQUIRE(write_all(connection.get(), "\0\xff not json\n\n{\"do\":\"status\"}\n"s, soon()));
  LineReader reader{connection.get(), 1000};
  std::string line;
  for (int i = 0; i < 2; ++i) {
    REQUIRE(reader.next(line, soon()) == LineEnd::complete);
    CHECK(json::parse(line)["done"] == false);
  }
  REQUIRE(reader.next(line, soon()) == LineEnd::complete);
  CHECK(json::parse(line)["site"] == "orchard");
}

TEST_CASE("socket: a request that is too long is refused, however it comes", "[report][socket]") {
  const TemporaryDirectory run;
  const Socket socket{run.file("s"), plain_handlers()};
  SECTION("as one line") {
    const auto answer = ask(run.file("s"), R"({"do":"status","x":")" + std::string(5000, 'x') + "\"}");
    CHECK(answer["done"] == false);
    CHECK(answer["text"] == "a request has at most 4096 bytes");
  }
  SECTION("as a line that never ends") {
    const auto connection = connected(run.file("s"));
    write_all(connection.get(), std::string(1'000'000, 'x'), soon());  // cut off in the middle
    std::string line;
    LineReader reader{connection.get(), 1000};
    REQUIRE(reader.next(line, soon()) == LineEnd::complete);
    CHECK(json::parse(line)["text"] == "a request has at most 4096 bytes");
    CHECK(reader.next(line, soon()) == LineEnd::closed);
  }
  SECTION("but the longest legal one is taken") {
    std::string request = R"({"do":"status"})";
    request += std::string(4096 - request.size(), ' ');
    CHECK(ask(run.file("s"), request)["site"] == "orchard");
  }
}

TEST_CASE("socket: a command that waits holds up nobody else", "[report][socket]") {
  const TemporaryDirectory run;
  std::mutex mutex;
  std::condition_variable changed;
  bool waits = false;
  bool go_on = false;
  auto handlers = plain_handlers();
  handlers.command = [&](const Command&) {
    std::unique_lock lock{mutex};
    waits = true;
    changed.notify_all();
    changed.wait_for(lock, support::kPatience, [&] { return go_on; });
    return Answer{1, true, "at last"};
  };
  const Socket socket{run.file("s"), handlers};
  json answer;
  std::thread slow{
      [&] { answer = json::parse(*ask_daemon(run.file("s"), R"({"do":"reset","target":"lift"})", 30s)); }};
  {
    std::unique_lock lock{mutex};
    CHECK(changed.wait_for(lock, support::kPatience, [&] { return waits; }));
  }
  CHECK(ask(run.file("s"), R"({"do":"status"})")["site"] == "orchard");
  {
    const std::scoped_lock lock{mutex};
    go_on = true;
    changed.notify_all();
  }
  slow.join();
  CHECK(answer["text"] == "at last");
}

TEST_CASE("socket: the ninth caller at once is told so, and let in when another leaves", "[report][socket]") {
  const TemporaryDirectory run;
  const Socket socket{run.file("s"), plain_handlers()};
  std::vector<Descriptor> callers;
  for (int i = 0; i < 8; ++i) {
    callers.push_back(connected(run.file("s")));
    REQUIRE(write_all(callers.back().get(), "{\"do\":\"status\"}\n", soon()));
    std::string line;
    REQUIRE(LineReader{callers.back().get(), 1000}.next(line, soon()) == LineEnd::complete);
  }
  CHECK(ask(run.file("s"), R"({"do":"status"})")["text"] ==
        "too many callers at once; try again in a moment");
  callers.pop_back();
  CHECK(support::eventually([&] { return ask(run.file("s"), R"({"do":"status"})").contains("site"); }));
}

TEST_CASE("socket: a handler that throws is answered, not fatal", "[report][socket]") {
  const TemporaryDirectory run;
  auto handlers = plain_handlers();
  handlers.status = []() -> std::string { throw std::runtime_error{"out of luck"}; };
  const Socket socket{run.file("s"), handlers};
  CHECK(ask(run.file("s"), R"({"do":"status"})")["text"] == "internal error: out of luck");
}

TEST_CASE("socket: a file that nobody listens on is replaced, one in use is not", "[report][socket]") {
  const TemporaryDirectory run;
  const auto path = run.file("s");
  SECTION("stale") {
    leave_stale_socket(path);
    const Socket socket{path, plain_handlers()};
    CHECK(ask(path, R"({"do":"status"})")["site"] == "orchard");
  }
  SECTION("in use") {
    const Socket first{path, plain_handlers()};
    CHECK_THROWS_WITH((Socket{path, plain_handlers()}),
                      Catch::Matchers::EndsWith("another daemon listens there; stop it first"));
    CHECK(ask(path, R"({"do":"status"})")["site"] == "orchard");
  }
  SECTION("something else") {
    support::write_file(path, "precious");
    CHECK_THROWS_WITH((Socket{path, plain_handlers()}),
                      Catch::Matchers::StartsWith("the local socket " + path));
    CHECK(support::read_file(path) == "precious");
  }
  SECTION("a path that is too long or leads nowhere") {
    CHECK_THROWS((Socket{run.file(std::string(200, 'x')), plain_handlers()}));
    CHECK_THROWS((Socket{run.file("no/such/folder"), plain_handlers()}));
  }
}

TEST_CASE("socket: a stranger may look when the file lets him in, but not command", "[report][socket]") {
  if (::geteuid() != 0) {
    WARN("only root can become somebody else: not checked");
    return;
  }
  const TemporaryDirectory run;
  const auto path = run.file("s");
  const Socket socket{path, plain_handlers()};
  std::filesystem::permissions(run.path(), std::filesystem::perms{0755});
  std::filesystem::permissions(path, std::filesystem::perms{0666});
  const auto as_nobody = [&](const char* groups, const std::string& request) {
    support::Process caller{
        {"setpriv", "--reuid=65534", "--regid=65534", groups, "socat", "-t5", "-", "UNIX-CONNECT:" + path}};
    REQUIRE(caller.write(request + "\n"));
    const auto line = caller.wait_line("{");
    REQUIRE(line);
    return json::parse(*line);
  };
  const std::string reset = R"({"do":"reset","target":"lift"})";
  CHECK(as_nobody("--clear-groups", R"({"do":"status"})")["site"] == "orchard");
  CHECK(as_nobody("--clear-groups", reset)["done"] == false);
  struct stat status {};
  REQUIRE(::stat(path.c_str(), &status) == 0);
  const auto member = "--groups=" + std::to_string(status.st_gid);
  CHECK(as_nobody(member.c_str(), reset)["done"] == true);
}

TEST_CASE("socket: ending the daemon ends callers who only wait", "[report][socket]") {
  const TemporaryDirectory run;
  std::optional<Socket> socket;
  socket.emplace(run.file("s"), plain_handlers());
  const auto idle = connected(run.file("s"));
  CHECK(ask(run.file("s"), R"({"do":"status"})")["site"] == "orchard");  // the idle one is served too by now
  socket.reset();
  std::string line;
  CHECK(LineReader{idle.get(), 100}.next(line, soon()) == LineEnd::closed);
}

TEST_CASE("client: a daemon that cannot be reached is told with what to do", "[report][socket]") {
  const TemporaryDirectory run;
  const auto error_of = [&](const std::string& path) {
    const auto answer = ask_daemon(path, R"({"do":"status"})", 1s);
    REQUIRE_FALSE(answer.ok());
    return answer.error();
  };
  const auto absent = error_of(run.file("none"));
  for (const std::string& expected :
       {"cannot reach the daemon at " + run.file("none"), std::string{"Is the daemon running"},
        std::string{"--socket"}, std::string{"RUNTIME_DIRECTORY"}}) {
    INFO(expected << " in " << absent);
    CHECK(absent.find(expected) != std::string::npos);
  }
  leave_stale_socket(run.file("stale"));
  CHECK(error_of(run.file("stale")).find("Is the daemon running") != std::string::npos);
  CHECK(error_of(run.file(std::string(200, 'x'))).find("1 to 107 bytes") != std::string::npos);
}

TEST_CASE("client: a daemon that says nothing is given up after the time allowed", "[report][socket]") {
  const TemporaryDirectory run;
  const auto address = address_of(run.file("s"));
  const Descriptor mute{::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)};
  REQUIRE(::bind(mute.get(), reinterpret_cast<const sockaddr*>(&*address), sizeof *address) == 0);
  REQUIRE(::listen(mute.get(), 1) == 0);
  const auto answer = ask_daemon(run.file("s"), R"({"do":"status"})", 100ms);
  REQUIRE_FALSE(answer.ok());
  CHECK(answer.error().find("did not answer in time") != std::string::npos);
}
