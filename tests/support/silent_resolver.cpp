#include "support/silent_resolver.hpp"

#include <cerrno>
#include <system_error>

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

namespace support {
namespace {

constexpr const char* kAddress = "127.83.0.53";  // ours alone, whoever serves names on 127.0.0.1
constexpr int kPort = 53;

}  // namespace

SilentResolver::SilentResolver() : socket_{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)} {
  sockaddr_in place{};
  place.sin_family = AF_INET;
  place.sin_port = htons(kPort);
  ::inet_pton(AF_INET, kAddress, &place.sin_addr);
  if (::bind(socket_, reinterpret_cast<sockaddr*>(&place), sizeof place) != 0) {
    why_not_ = std::string{kAddress} + ":53: " + std::generic_category().message(errno);
    return;
  }
  // As patient as resolv.conf(5) allows, so that nothing ends because the resolver gives up.
  write_file(directory_.file("resolv.conf"),
             std::string{"nameserver "} + kAddress + "\noptions timeout:30 attempts:5\n");
  auto argv = launcher();
  argv.emplace_back("true");
  Process trial{argv};
  if (trial.wait_exit() != 0) why_not_ = "no mount namespace: " + trial.err();
}

SilentResolver::~SilentResolver() {
  ::close(socket_);
}

std::vector<std::string> SilentResolver::launcher() const {
  const std::string mount = "mount --bind " + directory_.file("resolv.conf") + " /etc/resolv.conf";
  return {"unshare", "--mount", "sh", "-c", mount + R"( && exec "$@")", "sh"};
}

bool SilentResolver::was_asked() const {
  pollfd wanted{.fd = socket_, .events = POLLIN, .revents = 0};
  return ::poll(&wanted, 1, static_cast<int>(kPatience.count())) == 1;
}

}  // namespace support
