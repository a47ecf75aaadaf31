#include "stillwell/field/name_lookup.hpp"

#include <condition_variable>
#include <cstring>
#include <mutex>
#include <string>
#include <thread>
#include <utility>

#include <netdb.h>
#include <sys/socket.h>

namespace stillwell::field {
namespace {

using Found = Result<std::vector<SocketAddress>>;

Found look_up(const config::TcpAddress& address) {
  addrinfo hints{};
  hints.ai_family = AF_UNSPEC;
  hints.ai_socktype = SOCK_STREAM;
  hints.ai_flags = AI_NUMERICSERV;
  addrinfo* first = nullptr;
  const int rc = ::getaddrinfo(address.host.c_str(), std::to_string(address.port).c_str(), &hints, &first);
  if (rc != 0) return Failure{::gai_strerror(rc)};
  std::vector<SocketAddress> all;
  for (const addrinfo* each = first; each != nullptr; each = each->ai_next) {
    all.emplace_back(each->ai_addrlen);
    std::memcpy(all.back().data(), each->ai_addr, each->ai_addrlen);
  }
  ::freeaddrinfo(first);
  return all;
}

}  // namespace

struct NameLookup::Shared {
  std::mutex mutex;
  std::condition_variable known;
  std::optional<Found> found;
};

NameLookup::NameLookup(const config::TcpAddress& address) : shared_{std::make_shared<Shared>()} {
  std::thread{[shared = shared_, address] {
    Found found = look_up(address);
    const std::lock_guard lock{shared->mutex};
    shared->found = std::move(found);
    shared->known.notify_all();
  }}.detach();  // the call cannot be broken off: whoever ends meanwhile leaves it behind
}

std::optional<Found> NameLookup::wait(Duration limit) {
  std::unique_lock lock{shared_->mutex};
  shared_->known.wait_for(lock, limit, [this] { return shared_->found.has_value(); });
  return shared_->found;
}

}  // namespace stillwell::field
