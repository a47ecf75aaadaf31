#include "stillwell/report/program.hpp"

#include "stillwell/quantity/units.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <utility>

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

constexpr std::size_t kLastWords = 1024;
constexpr auto kPatience = 5s;        // between SIGTERM and SIGKILL, and for what SIGKILL does
constexpr auto kGraceOnStop = 900ms;  // these and twice the next are less than two seconds
constexpr auto kPatienceOnStop = 400ms;
constexpr int kReadsAfterEnd = 8;  // more than a pipe holds (pipe(7): 64 kB)

/// As write(2), but a reader that has gone is EPIPE and no signal, whatever the process does with SIGPIPE.
ssize_t write_unsignalled(int fd, std::string_view bytes) {
  sigset_t pipe;
  sigset_t before;
  sigemptyset(&pipe);
  sigaddset(&pipe, SIGPIPE);
  ::pthread_sigmask(SIG_BLOCK, &pipe, &before);
  const auto count = ::write(fd, bytes.data(), bytes.size());
  const int error = errno;
  const timespec at_once{};
  if (count < 0 && error == EPIPE) ::sigtimedwait(&pipe, nullptr, &at_once);
  ::pthread_sigmask(SIG_SETMASK, &before, nullptr);
  errno = error;
  return count;
}

/// One child, from its start to the moment when it is ready to be waited for.
class Watch {
 public:
  Watch(Child& child, std::string_view input, Duration within, int stop)
      : child_{child}, rest_{input}, stop_{stop}, deadline_{Clock::now() + within} {}

  /// False when even SIGKILL does not end it.
  bool until_ended() {
    while (!attend()) {
      if (Clock::now() >= deadline_ && !urge()) return false;
    }
    // Not to the end of the pipe: another program may hold it open.
    for (int i = 0; i < kReadsAfterEnd && child_.out.is_open(); ++i)
      hear();
    return true;
  }

  [[nodiscard]] bool was_ended() const { return stage_ != Stage::runs; }
  [[nodiscard]] bool hurried() const { return hurries_; }
  [[nodiscard]] const std::string& last_words() const { return last_words_; }

 private:
  enum class Stage : std::uint8_t { runs, was_asked, was_killed };

  /// Waits for what happens next, not beyond the deadline, and does what it asks for. True once the child has
  /// ended.
  bool attend() {
    std::array<pollfd, 4> watched{pollfd{child_.handle.get(), POLLIN, 0},
                                  pollfd{hurries_ ? -1 : stop_, POLLIN, 0},
                                  pollfd{child_.in.get(), POLLOUT, 0}, pollfd{child_.out.get(), POLLIN, 0}};
    if (::poll(watched.data(), watched.size(), milliseconds_left()) <= 0) return false;
    if (watched[1].revents != 0) hurry();
    if (watched[2].revents != 0) feed();
    if (watched[3].revents != 0) hear();
    return watched[0].revents != 0;
  }

  [[nodiscard]] int milliseconds_left() const {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(deadline_ - Clock::now());
    return static_cast<int>(std::clamp<std::chrono::milliseconds>(left, 0ms, 10min).count());
  }

  void hurry() {
    hurries_ = true;
    deadline_ = std::min(deadline_, Clock::now() + (was_ended() ? kPatienceOnStop : kGraceOnStop));
  }

  /// The next means to end it; false when there is none left.
  bool urge() {
    if (stage_ == Stage::was_killed) return false;
    const bool was_asked = stage_ == Stage::was_asked;
    ::kill(-child_.pid, was_asked ? SIGKILL : SIGTERM);
    stage_ = was_asked ? Stage::was_killed : Stage::was_asked;
    deadline_ = Clock::now() + (hurries_ ? kPatienceOnStop : kPatience);
    return true;
  }

  void feed() {
    const auto count = write_unsignalled(child_.in.get(), rest_);
    if (count > 0) rest_.remove_prefix(static_cast<std::size_t>(count));
    const bool reads = count >= 0 || errno == EAGAIN || errno == EINTR;
    if (rest_.empty() || !reads) child_.in = {};
  }

  void hear() {
    std::array<char, 16384> chunk{};
    const auto count = ::read(child_.out.get(), chunk.data(), chunk.size());
    if (count == 0 || (count < 0 && errno != EAGAIN && errno != EINTR)) child_.out = {};
    if (count <= 0) return;
    last_words_.append(chunk.data(), static_cast<std::size_t>(count));
    if (last_words_.size() > kLastWords) last_words_.erase(0, last_words_.size() - kLastWords);
  }

  Child& child_;
  std::string_view rest_;  ///< of the input
  const int stop_;
  Clock::time_point deadline_;
  Stage stage_ = Stage::runs;
  bool hurries_ = false;
  std::string last_words_;
};

/// Waits for a child that has ended, and says how. False when it has not.
bool has_ended(const Child& child, ProgramEnd& end) {
  siginfo_t info{};
  const auto handle = static_cast<id_t>(child.handle.get());
  if (::waitid(P_PIDFD, handle, &info, WEXITED | WNOHANG) != 0 || info.si_pid == 0) return false;
  const bool by_itself = info.si_code == CLD_EXITED;
  end.well = by_itself && info.si_status == 0;
  end.how = (by_itself ? "exit status " : "killed by signal ") + std::to_string(info.si_status);
  return true;
}

}  // namespace

Program::Program(std::vector<std::string> argv, Duration within)
    : argv_{std::move(argv)}, within_{within}, stop_{::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)} {
  if (!stop_.is_open()) throw std::system_error{errno, std::generic_category(), "eventfd"};
}

void Program::stop() {
  [[maybe_unused]] const int failed = ::eventfd_write(stop_.get(), 1);  // it stays readable
}

ProgramEnd Program::run(std::string_view input) {
  ProgramEnd end;
  if (stuck_ && !has_ended(*stuck_, end)) return {.how = "the call before it still hangs in the kernel"};
  stuck_.reset();
  auto [child, error] = spawn(argv_);
  if (!child) return {.how = "it cannot be started: " + error.message()};

  Watch watch{*child, input, within_, stop_.get()};
  const bool ended = watch.until_ended();
  // While it is not waited for, its id is nobody else's.
  ::kill(-child->pid, SIGKILL);
  end.last_words = watch.last_words();
  if (!ended || !has_ended(*child, end)) {
    stuck_ = std::move(child);
    return {.how = "it hangs in the kernel and cannot be ended", .last_words = end.last_words};
  }
  if (watch.was_ended()) {
    end.well = false;
    end.how = watch.hurried() ? "it was ended together with the daemon"
                              : "it took longer than " + to_text(within_) + " and was ended";
  }
  return end;
}

}  // namespace stillwell::report
