#include "stillwell/report/spawn.hpp"

#include <array>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <string_view>
#include <utility>

#include <fcntl.h>
#include <spawn.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

/// All else in the environment is between the daemon and the service manager.
constexpr std::array kPassedOn{"PATH", "HOME", "LANG", "TZ"};

struct Pipe {
  Descriptor read;
  Descriptor write;
};

Pipe make_pipe() {
  std::array<int, 2> ends{-1, -1};
  if (::pipe2(ends.data(), O_CLOEXEC) != 0) return {};
  return {Descriptor{ends[0]}, Descriptor{ends[1]}};
}

/// Of our end alone; the program's end is another file description.
void never_block(const Descriptor& end) {
  ::fcntl(end.get(), F_SETFL, O_NONBLOCK);
}

/// What posix_spawn does between fork and exec. Its steps can fail for want of memory alone; the first
/// failure is kept.
class Preparation {
 public:
  Preparation() {
    ::posix_spawn_file_actions_init(&actions_);
    ::posix_spawnattr_init(&attributes_);
  }
  ~Preparation() {
    ::posix_spawn_file_actions_destroy(&actions_);
    ::posix_spawnattr_destroy(&attributes_);
  }
  Preparation(const Preparation&) = delete;
  Preparation& operator=(const Preparation&) = delete;

  void set_descriptors(int in, int out) {
    need(::posix_spawn_file_actions_adddup2(&actions_, in, STDIN_FILENO));
    need(::posix_spawn_file_actions_adddup2(&actions_, out, STDOUT_FILENO));
    need(::posix_spawn_file_actions_adddup2(&actions_, out, STDERR_FILENO));
    need(::posix_spawn_file_actions_addclosefrom_np(&actions_, STDERR_FILENO + 1));
    need(::posix_spawn_file_actions_addchdir_np(&actions_, "/"));
  }
  void set_signals_and_session() {
    sigset_t all;
    sigset_t none;
    sigfillset(&all);
    sigemptyset(&none);
    need(::posix_spawnattr_setsigdefault(&attributes_, &all));
    need(::posix_spawnattr_setsigmask(&attributes_, &none));
    need(::posix_spawnattr_setflags(
        &attributes_,
        static_cast<short>(POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSID)));
  }
  int start(pid_t& pid, std::vector<char*> argv, std::vector<char*> environment) const {
    argv.push_back(nullptr);
    environment.push_back(nullptr);
    if (failed_ != 0) return failed_;
    return ::posix_spawn(&pid, argv.front(), &actions_, &attributes_, argv.data(), environment.data());
  }

 private:
  void need(int code) { failed_ = failed_ != 0 ? failed_ : code; }

  posix_spawn_file_actions_t actions_{};
  posix_spawnattr_t attributes_{};
  int failed_ = 0;
};

std::vector<std::string> environment() {
  std::vector<std::string> entries;
  for (const char* const name : kPassedOn) {
    if (const char* const value = std::getenv(name)) entries.push_back(std::string{name} + "=" + value);
  }
  return entries;
}

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> result;
  result.reserve(texts.size() + 1);
  for (auto& text : texts)
    result.push_back(text.data());
  return result;
}

/// In a unit with a limit the program's memory counts as the daemon's: when it is spent the kernel ends the
/// program (proc(5), oom_score_adj). Where that may not be written, nothing else changes.
void offer_to_the_kernel(pid_t pid) {
  const std::string path = "/proc/" + std::to_string(pid) + "/oom_score_adj";
  const Descriptor file{::open(path.c_str(), O_WRONLY | O_CLOEXEC)};
  constexpr std::string_view kFirst = "1000";
  if (file.is_open()) [[maybe_unused]]
    const auto written = ::write(file.get(), kFirst.data(), kFirst.size());
}

/// The header of glibc 2.36 declares pidfd_open for C alone.
Descriptor handle_of(pid_t pid) {
  return Descriptor{static_cast<int>(::syscall(SYS_pidfd_open, pid, 0))};
}

Spawned failed(int code) {
  return {.child = {}, .error = {code, std::generic_category()}};
}

}  // namespace

Spawned spawn(const std::vector<std::string>& argv) {
  auto in = make_pipe();
  auto out = make_pipe();
  if (!in.read.is_open() || !out.read.is_open()) return failed(errno);
  Preparation preparation;
  preparation.set_descriptors(in.read.get(), out.write.get());
  preparation.set_signals_and_session();
  auto arguments = argv;
  auto entries = environment();
  pid_t pid = -1;
  if (const int code = preparation.start(pid, pointers(arguments), pointers(entries)); code != 0)
    return failed(code);
  Descriptor handle = handle_of(pid);
  if (!handle.is_open()) {
    const int code = errno;
    ::kill(-pid, SIGKILL);
    ::waitpid(pid, nullptr, 0);
    return failed(code);
  }
  offer_to_the_kernel(pid);
  never_block(in.write);
  never_block(out.read);
  return {.child = Child{pid, std::move(handle), std::move(in.write), std::move(out.read)}, .error = {}};
}

}  // namespace stillwell::report
