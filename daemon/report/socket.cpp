#include "stillwell/report/socket.hpp"

#include "stillwell/report/requests.hpp"
#include "stillwell/report/stream.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <list>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr std::size_t kClients = 8;
constexpr auto kIdle = 30s;         // a caller who says nothing for so long is sent away
constexpr auto kWriteWithin = 5s;   // and one who does not read
constexpr auto kAfterFailure = 1s;  // accept() fails at once when descriptors ran out: do not spin
constexpr mode_t kMode = 0660;

std::runtime_error trouble(const std::filesystem::path& path, const std::string& what) {
  return std::runtime_error{"the local socket " + path.string() + ": " + what};
}
std::string last_error() {
  return std::error_code{errno, std::generic_category()}.message();
}

void remove_if_stale(const std::filesystem::path& path, const sockaddr_un& address) {
  struct stat status {};
  if (::lstat(path.c_str(), &status) != 0) return;
  if (!S_ISSOCK(status.st_mode))
    throw trouble(path, "something else is there; remove it or choose another path");
  if (connect_to(address)) throw trouble(path, "another daemon listens there; stop it first");
  if (errno != ECONNREFUSED) throw trouble(path, last_error());
  if (::unlink(path.c_str()) != 0) throw trouble(path, last_error());
}

Descriptor listen_at(const std::filesystem::path& path) {
  const auto address = address_of(path);
  if (!address) throw std::runtime_error{address.error()};
  remove_if_stale(path, *address);
  Descriptor fd{::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0)};
  // Before bind(), so that the file never exists with more rights than it shall have.
  const bool made = fd.is_open() && ::fchmod(fd.get(), kMode) == 0 &&
                    ::bind(fd.get(), reinterpret_cast<const sockaddr*>(&*address), sizeof *address) == 0;
  if (!made) throw trouble(path, last_error());
  if (::chmod(path.c_str(), kMode) != 0 || ::listen(fd.get(), static_cast<int>(kClients)) != 0) {
    throw trouble(path, last_error());
  }
  return fd;
}

/// The groups of the caller, as the kernel knew them when it connected (socket(7), SO_PEERGROUPS).
bool has_group(int fd, gid_t group, gid_t main_group) {
  if (main_group == group) return true;
  constexpr std::size_t kMostGroups = 1024;
  std::vector<gid_t> groups(kMostGroups);
  auto size = static_cast<socklen_t>(groups.size() * sizeof(gid_t));
  if (::getsockopt(fd, SOL_SOCKET, SO_PEERGROUPS, groups.data(), &size) != 0) return false;
  groups.resize(size / sizeof(gid_t));
  return std::find(groups.begin(), groups.end(), group) != groups.end();
}

bool may_command(int fd, const std::filesystem::path& path) {
  ucred caller{};
  socklen_t size = sizeof caller;
  struct stat file {};
  if (::getsockopt(fd, SOL_SOCKET, SO_PEERCRED, &caller, &size) != 0) return false;
  if (caller.uid == 0 || caller.uid == ::geteuid()) return true;
  return ::lstat(path.c_str(), &file) == 0 && has_group(fd, file.st_gid, caller.gid);
}

}  // namespace

class Socket::Impl {
 public:
  Impl(std::filesystem::path path, SocketHandlers handlers)
      : path_{std::move(path)},
        handlers_{std::move(handlers)},
        listener_{listen_at(path_)},
        stop_{::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)},
        thread_{[this] { run(); }} {}
  ~Impl() {
    stopping_ = true;
    ::eventfd_write(stop_.get(), 1);
    thread_.join();
    ::unlink(path_.c_str());
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

 private:
  /// A thread each: one caller's command may wait for a scan, and the others' status must not wait for it.
  struct Client {
    Descriptor fd;
    std::atomic<bool> finished = false;
    std::thread thread;
  };

  void run() {
    while (!stopping_) {
      std::array<pollfd, 2> watched{pollfd{listener_.get(), POLLIN, 0}, pollfd{stop_.get(), POLLIN, 0}};
      ::poll(watched.data(), watched.size(), -1);
      forget_finished();
      if (watched[0].revents != 0 && !stopping_) accept_one();
    }
    for (auto& client : clients_)
      ::shutdown(client.fd.get(), SHUT_RDWR);
    for (auto& client : clients_)
      client.thread.join();
  }

  void forget_finished() {
    for (auto& client : clients_) {
      if (client.finished) client.thread.join();
    }
    clients_.remove_if([](const Client& client) { return !client.thread.joinable(); });
  }

  void accept_one() {
    Descriptor fd{::accept4(listener_.get(), nullptr, nullptr, SOCK_CLOEXEC | SOCK_NONBLOCK)};
    if (!fd.is_open()) {
      pollfd until_stop{stop_.get(), POLLIN, 0};
      if (errno != EAGAIN)
        ::poll(&until_stop, 1, static_cast<int>(std::chrono::milliseconds{kAfterFailure}.count()));
      return;
    }
    if (clients_.size() >= kClients) {
      answer(fd.get(), {0, false, "too many callers at once; try again in a moment"});
      return;
    }
    auto& client = clients_.emplace_back();
    client.fd = std::move(fd);
    client.thread = std::thread{[this, &client] {
      serve(client.fd.get());
      ::shutdown(client.fd.get(), SHUT_RDWR);
      client.finished = true;
    }};
  }

  void serve(int fd) {
    LineReader reader{fd, kLongestRequest};
    std::string line;
    while (!stopping_) {
      switch (reader.next(line, std::chrono::steady_clock::now() + kIdle)) {
        case LineEnd::complete: break;
        case LineEnd::too_long:
          answer(fd, {0, false, "a request has at most " + std::to_string(kLongestRequest) + " bytes"});
          return;
        case LineEnd::too_late:
        case LineEnd::closed: return;
      }
      if (!send(fd, reply_to(line, fd))) return;
    }
  }

  std::string reply_to(const std::string& line, int fd) {
    try {
      const auto request = parse_request(line);
      if (!request) return to_json(Answer{0, false, request.error()});
      if (std::holds_alternative<StatusRequest>(*request)) return handlers_.status();
      if (!may_command(fd, path_)) {
        return to_json(Answer{0, false,
                              "commands are taken from root, the daemon's own user and members of the "
                              "socket's group only"});
      }
      return to_json(handlers_.command(std::get<Command>(*request)));
    } catch (const std::exception& problem) {
      return to_json(Answer{0, false, std::string{"internal error: "} + problem.what()});
    }
  }

  static bool send(int fd, const std::string& line) {
    return write_all(fd, line + '\n', std::chrono::steady_clock::now() + kWriteWithin);
  }
  static void answer(int fd, const Answer& answer) { send(fd, to_json(answer)); }

  const std::filesystem::path path_;
  const SocketHandlers handlers_;
  std::atomic<bool> stopping_ = false;
  std::list<Client> clients_;  // the accepting thread's own
  Descriptor listener_;
  Descriptor stop_;
  std::thread thread_;
};

Socket::Socket(std::filesystem::path path, SocketHandlers handlers)
    : impl_{std::make_unique<Impl>(std::move(path), std::move(handlers))} {}
Socket::~Socket() = default;

}  // namespace stillwell::report
