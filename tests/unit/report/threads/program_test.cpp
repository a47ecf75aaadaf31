// One program, whatever it does: real processes, and none of them left afterwards.
#include "stillwell/report/program.hpp"

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <thread>

#include "support/catch.hpp"
#include "support/script.hpp"
#include <fcntl.h>
#include <pthread.h>
#include <unistd.h>

using namespace stillwell;
using namespace stillwell::report;
using namespace std::chrono_literals;
using support::eventually;
using support::has_children;
using support::is_running;
using support::script;
using support::TemporaryDirectory;

namespace {

/// Longer than any test lasts: what ends such a call was not the time.
constexpr Duration kLong = 5min;

ProgramEnd run(const std::vector<std::string>& argv, std::string_view input = "a line\n",
               Duration within = kLong) {
  std::signal(SIGPIPE, SIG_IGN);
  ProgramEnd end = Program{argv, within}.run(input);
  CHECK_FALSE(has_children());
  UNSCOPED_INFO(end.how << ": " << end.last_words);
  return end;
}

}  // namespace

TEST_CASE("program: what it is given arrives byte for byte, and so do its arguments", "[report][program]") {
  const TemporaryDirectory directory;
  std::string input = "{\"text\":\"$(reboot) `x` \\\\ \xc3\xbc ' \\\"\"}\n{}\n";
  input += std::string(300'000, 'x') + "\n";  // more than a pipe holds
  auto argv = script(directory, "printf %s \"$2\" >\"$1/argument\"\ncat >\"$1/got\"");
  argv.emplace_back("$(reboot) 'two words'");
  CHECK(run(argv, input).well);
  CHECK(support::read_file(directory.file("got")) == input);
  CHECK(support::read_file(directory.file("argument")) == "$(reboot) 'two words'");
}

TEST_CASE("program: it inherits no descriptor", "[report][program]") {
  const int leaky = ::open("/dev/null", O_RDONLY);  // one that exec does not close
  REQUIRE(leaky > STDERR_FILENO);
  const int far = ::fcntl(leaky, F_DUPFD, 77);
  REQUIRE(far >= 77);
  // The fourth is the one through which ls itself looks at the folder.
  CHECK(run({"/bin/ls", "/proc/self/fd"}).last_words == "0\n1\n2\n3\n");
  ::close(leaky);
  ::close(far);
}

TEST_CASE("program: of the environment it gets PATH, HOME, LANG and TZ", "[report][program]") {
  ::setenv("NOTIFY_SOCKET", "/run/secret", 1);
  ::setenv("TZ", "Europe/Lisbon", 1);
  ::setenv("LANG", "C.UTF-8", 1);
  const std::string seen = run({"/usr/bin/env"}).last_words;
  ::unsetenv("NOTIFY_SOCKET");
  ::unsetenv("TZ");
  CHECK(seen.find("TZ=Europe/Lisbon\n") != std::string::npos);
  CHECK(seen.find("LANG=C.UTF-8\n") != std::string::npos);
  CHECK(seen.find("PATH=") != std::string::npos);
  std::istringstream lines{seen};
  for (std::string line; std::getline(lines, line);) {
    const std::string name = line.substr(0, line.find('='));
    INFO(line);
    CHECK((name == "PATH" || name == "HOME" || name == "LANG" || name == "TZ"));
  }
}

TEST_CASE("program: it begins in / with no signal blocked or ignored, in a session of its own",
          "[report][program]") {
  CHECK(run({"/bin/pwd"}).last_words == "/\n");
  sigset_t blocked;
  sigset_t before;
  sigemptyset(&blocked);
  sigaddset(&blocked, SIGTERM);
  sigaddset(&blocked, SIGINT);
  REQUIRE(pthread_sigmask(SIG_BLOCK, &blocked, &before) == 0);
  const auto end = run({"/bin/grep", "-E", "^Sig(Blk|Ign)", "/proc/self/status"});
  REQUIRE(pthread_sigmask(SIG_SETMASK, &before, nullptr) == 0);
  // Signals 32 and 33 are the C library's own, and it ignores them in a child.
  CHECK(end.last_words == "SigBlk:\t0000000000000000\nSigIgn:\t0000000180000000\n");

  const TemporaryDirectory directory;
  const auto ids = run(script(directory, "set -- $(cat /proc/$$/stat)\necho \"$1 $5 $6\"")).last_words;
  std::istringstream words{ids};
  std::string pid;
  std::string group;
  std::string session;
  words >> pid >> group >> session;
  CHECK_FALSE(pid.empty());
  CHECK(group == pid);
  CHECK(session == pid);
}

TEST_CASE("program: when memory runs short the kernel ends it and not the daemon", "[report][program]") {
  const TemporaryDirectory directory;
  CHECK(run(script(directory, "read line\ncat /proc/self/oom_score_adj")).last_words == "1000\n");
}

TEST_CASE("program: how it ended and what it said last is known", "[report][program]") {
  const TemporaryDirectory directory;
  const auto failed = run(script(directory, "echo no dial tone >&2\nexit 3"));
  CHECK_FALSE(failed.well);
  CHECK(failed.how == "exit status 3");
  CHECK(failed.last_words == "no dial tone\n");

  const auto killed = run(script(directory, "kill -KILL $$"));
  CHECK_FALSE(killed.well);
  CHECK(killed.how == "killed by signal 9");
}

TEST_CASE("program: one that cannot be started is a failure like any other", "[report][program]") {
  const TemporaryDirectory directory;
  const auto missing = run({directory.file("none")});
  CHECK_FALSE(missing.well);
  CHECK(missing.how == "it cannot be started: No such file or directory");

  support::write_file(directory.file("text"), "not a program\n");
  CHECK(run({directory.file("text")}).how == "it cannot be started: Permission denied");
  REQUIRE(::chmod(directory.file("text").c_str(), 0755) == 0);
  CHECK(run({directory.file("text")}).how == "it cannot be started: Exec format error");
}

TEST_CASE("program: one that hangs is ended, with what it started", "[report][program]") {
  const TemporaryDirectory directory;
  const auto end = run(script(directory, "sleep 600 &\necho $! >\"$1/pid\"\nwait"), "a line\n", 2s);
  CHECK_FALSE(end.well);
  CHECK(end.how == "it took longer than 2 s and was ended");
  const std::string pid = support::read_file(directory.file("pid"));
  REQUIRE(pid.size() > 1);
  CHECK(eventually([&] { return !is_running(pid.substr(0, pid.size() - 1)); }));
}

TEST_CASE("program: one that ignores SIGTERM is killed", "[report][program]") {
  const TemporaryDirectory directory;
  const auto end =
      run(script(directory, "trap 'echo asked' TERM\nwhile :; do sleep 1; done"), "a line\n", 2s);
  CHECK_FALSE(end.well);
  CHECK(end.how == "it took longer than 2 s and was ended");
  CHECK(end.last_words.find("asked\n") != std::string::npos);
}

TEST_CASE("program: what it leaves behind with its pipes in hand is not waited for, and killed",
          "[report][program]") {
  const TemporaryDirectory directory;
  const auto end = run(script(directory, "sleep 600 &\necho $!"));
  CHECK(end.well);
  REQUIRE(end.last_words.size() > 1);
  CHECK(eventually([&] { return !is_running(end.last_words.substr(0, end.last_words.size() - 1)); }));
}

TEST_CASE("program: one that does not read is none the worse for it, and cannot hang us",
          "[report][program]") {
  const TemporaryDirectory directory;
  const std::string much(1'000'000, 'x');
  CHECK(run(script(directory, "exit 0"), much).well);
  CHECK(run(script(directory, "exec 0<&-\nsleep 0.1\nexit 0"), much).well);
  CHECK_FALSE(run(script(directory, "sleep 600"), much, 300ms).well);
}

TEST_CASE("program: a flood of output is drained, and its last kilobyte kept", "[report][program]") {
  const TemporaryDirectory directory;
  const auto end = run(script(directory, "yes | head -c 1000000000\necho the end >&2"));
  CHECK(end.well);
  CHECK(end.last_words.size() == 1024);
  CHECK(end.last_words.ends_with("y\nthe end\n"));
  CHECK_FALSE(run(script(directory, "yes"), "a line\n", 300ms).well);
}

TEST_CASE("program: stop ends one that hangs long before its time", "[report][program]") {
  const TemporaryDirectory directory;
  Program program{script(directory, "trap '' TERM\necho $$ >\"$1/pid\"\nwhile :; do sleep 1; done"), kLong};
  ProgramEnd end;
  std::thread other{[&] { end = program.run("a line\n"); }};
  CHECK(eventually([&] { return support::read_file(directory.file("pid")).ends_with('\n'); }));
  program.stop();
  other.join();
  CHECK_FALSE(end.well);
  CHECK(end.how == "it was ended together with the daemon");
  CHECK_FALSE(has_children());
}

TEST_CASE("program: one that is nearly done when stop comes may finish", "[report][program]") {
  Program program{{"/bin/true"}, kLong};
  program.stop();
  CHECK(program.run("the last line\n").well);
}
