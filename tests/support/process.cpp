#include "support/process.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <condition_variable>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <mutex>
#include <sstream>
#include <stdexcept>
#include <system_error>
#include <thread>

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

namespace support {
namespace {

class Pipe {
 public:
  Pipe() {
    if (::pipe2(ends_.data(), O_CLOEXEC) != 0) throw std::runtime_error{"pipe2 failed"};
  }
  ~Pipe() {
    close_read();
    close_write();
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;

  [[nodiscard]] int read_end() const { return ends_[0]; }
  [[nodiscard]] int write_end() const { return ends_[1]; }
  void close_read() { close_end(ends_[0]); }
  void close_write() { close_end(ends_[1]); }

 private:
  static void close_end(int& end) {
    if (end >= 0) ::close(end);
    end = -1;
  }
  std::array<int, 2> ends_{-1, -1};
};

/// posix_spawn's file actions, so that a test with threads may start programs.
class Redirections {
 public:
  Redirections() { ::posix_spawn_file_actions_init(&actions_); }
  ~Redirections() { ::posix_spawn_file_actions_destroy(&actions_); }
  Redirections(const Redirections&) = delete;
  Redirections& operator=(const Redirections&) = delete;
  void redirect(int from, int to) { ::posix_spawn_file_actions_adddup2(&actions_, from, to); }
  [[nodiscard]] const posix_spawn_file_actions_t* get() const { return &actions_; }

 private:
  posix_spawn_file_actions_t actions_{};
};

std::vector<char*> pointers(std::vector<std::string>& texts) {
  std::vector<char*> result;
  result.reserve(texts.size() + 1);
  for (auto& text : texts)
    result.push_back(text.data());
  result.push_back(nullptr);
  return result;
}

std::vector<std::string> environment_with(const std::vector<std::string>& added) {
  std::vector<std::string> result = added;  // first: the earlier entry of a name wins
  for (char** entry = environ; *entry != nullptr; ++entry)
    result.emplace_back(*entry);
  return result;
}

}  // namespace

class Process::Impl {
 public:
  Impl(std::vector<std::string> argv, const std::vector<std::string>& added) {
    auto environment = environment_with(added);
    Redirections redirections;
    redirections.redirect(in_.read_end(), STDIN_FILENO);
    redirections.redirect(out_.write_end(), STDOUT_FILENO);
    redirections.redirect(err_.write_end(), STDERR_FILENO);
    const int failed = ::posix_spawnp(&pid_, argv.at(0).c_str(), redirections.get(), nullptr,
                                      pointers(argv).data(), pointers(environment).data());
    if (failed != 0) {
      throw std::runtime_error{argv[0] + ": " + std::error_code{failed, std::generic_category()}.message()};
    }
    in_.close_read();
    out_.close_write();
    err_.close_write();
    listener_ = std::thread{[this] { listen(); }};
  }

  ~Impl() {
    if (!status_ && !try_reap()) {
      ::kill(pid_, SIGKILL);
      ::waitpid(pid_, nullptr, 0);
    }
    stop_.close_write();  // a grandchild may hold the pipes open: do not wait for their end
    listener_.join();
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  [[nodiscard]] pid_t pid() const { return pid_; }

  bool write(std::string_view text) {
    while (!text.empty()) {
      const auto written = ::write(in_.write_end(), text.data(), text.size());
      if (written <= 0) return false;
      text.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
  }
  void close_input() { in_.close_write(); }

  std::optional<std::string> wait_line(std::string_view containing, Bound bound) {
    std::unique_lock lock{mutex_};
    std::optional<std::string> found;
    heard_.wait_for(lock, bound, [&] {
      found = find_line(containing);
      return found || ended_;
    });
    return found;
  }

  bool try_reap() {
    int raw = 0;
    if (status_ || ::waitpid(pid_, &raw, WNOHANG) != pid_) return status_.has_value();
    status_ = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + WTERMSIG(raw);
    return true;
  }
  [[nodiscard]] std::optional<int> status() const { return status_; }

  /// The last words of a program that has ended are still on their way. Bounded, since a grandchild may hold
  /// the pipes open.
  void hear_out() {
    std::unique_lock lock{mutex_};
    heard_.wait_for(lock, std::chrono::seconds{1}, [this] { return ended_; });
  }

  std::string text(bool of_err) {
    const std::scoped_lock lock{mutex_};
    return of_err ? err_text_ : out_text_;
  }

 private:
  [[nodiscard]] std::optional<std::string> find_line(std::string_view containing) const {
    for (const auto* text : {&out_text_, &err_text_}) {
      std::istringstream lines{
          text->substr(0, text->rfind('\n') == std::string::npos ? 0 : text->rfind('\n'))};
      for (std::string line; std::getline(lines, line);) {
        if (line.find(containing) != std::string::npos) return line;
      }
    }
    return {};
  }

  void listen() {
    std::array<pollfd, 3> watched{pollfd{out_.read_end(), POLLIN, 0}, pollfd{err_.read_end(), POLLIN, 0},
                                  pollfd{stop_.read_end(), POLLIN, 0}};
    while (watched[0].fd >= 0 || watched[1].fd >= 0) {
      if (::poll(watched.data(), watched.size(), -1) < 0 && errno != EINTR) break;
      if (watched[2].revents != 0) break;
      take(watched[0], out_text_);
      take(watched[1], err_text_);
    }
    const std::scoped_lock lock{mutex_};
    ended_ = true;
    heard_.notify_all();
  }

  void take(pollfd& from, std::string& to) {
    if (from.fd < 0 || from.revents == 0) return;
    std::array<char, 4096> chunk{};
    const auto count = ::read(from.fd, chunk.data(), chunk.size());
    if (count <= 0) {
      from.fd = -1;
      return;
    }
    const std::scoped_lock lock{mutex_};
    to.append(chunk.data(), static_cast<std::size_t>(count));
    heard_.notify_all();
  }

  Pipe in_;
  Pipe out_;
  Pipe err_;
  Pipe stop_;
  pid_t pid_ = -1;
  std::optional<int> status_;
  std::mutex mutex_;
  std::condition_variable heard_;
  std::string out_text_;
  std::string err_text_;
  bool ended_ = false;
  std::thread listener_;
};

Process::Process(const std::vector<std::string>& argv, const std::vector<std::string>& environment)
    : impl_{std::make_unique<Impl>(argv, environment)} {}
Process::~Process() = default;
pid_t Process::pid() const {
  return impl_->pid();
}
bool Process::alive() {
  return !impl_->try_reap();
}
bool Process::write(std::string_view text) {
  return impl_->write(text);
}
void Process::close_input() {
  impl_->close_input();
}
void Process::signal(int number) {
  if (alive()) ::kill(impl_->pid(), number);
}
std::optional<std::string> Process::wait_line(std::string_view containing, Bound bound) {
  return impl_->wait_line(containing, bound);
}
std::optional<int> Process::wait_exit(Bound bound) {
  if (eventually([this] { return impl_->try_reap(); }, bound)) impl_->hear_out();
  return impl_->status();
}
std::string Process::out() const {
  return impl_->text(false);
}
std::string Process::err() const {
  return impl_->text(true);
}

int free_port() {
  const int probe = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof address;
  auto* generic = reinterpret_cast<sockaddr*>(&address);
  const bool bound = ::bind(probe, generic, size) == 0 && ::getsockname(probe, generic, &size) == 0;
  ::close(probe);
  if (!bound) throw std::runtime_error{"no free port on 127.0.0.1"};
  return ntohs(address.sin_port);
}

TemporaryDirectory::TemporaryDirectory() {
  path_ = (std::filesystem::temp_directory_path() / "stillwell-test-XXXXXX").string();
  if (::mkdtemp(path_.data()) == nullptr) throw std::runtime_error{"mkdtemp failed for " + path_};
}
TemporaryDirectory::~TemporaryDirectory() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string read_file(const std::string& path) {
  std::ifstream file{path, std::ios::binary};
  return {std::istreambuf_iterator<char>{file}, {}};
}
void write_file(const std::string& path, std::string_view text) {
  std::ofstream{path, std::ios::binary} << text;
}

void rest_a_moment() {
  std::this_thread::sleep_for(std::chrono::milliseconds{20});
}

}  // namespace support
