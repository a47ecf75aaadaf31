#include "stillwell/report/client.hpp"

#include "stillwell/report/stream.hpp"

#include <cerrno>
#include <system_error>

#include <sys/un.h>

namespace stillwell::report {
namespace {

/// Far above what a site of hundreds of tanks and pumps has to say.
constexpr std::size_t kLongestAnswer = 4'000'000;

std::string advice(int error) {
  switch (error) {
    case ENOENT:
    case ECONNREFUSED:
      return "Is the daemon running (systemctl status stillwell)? If it is, name its socket with --socket: "
             "the "
             "one that was given to it with --socket, or else stillwell.sock in its RUNTIME_DIRECTORY "
             "(/run/stillwell when that is not set).";
    case EACCES:
    case EPERM: return "Run this as root or as a member of the group that the socket belongs to.";
    case EAGAIN: return "It is busy with other callers: try again in a moment.";
    default: return "Look at the daemon's log.";
  }
}

}  // namespace

Result<std::string> ask_daemon(const std::filesystem::path& socket, std::string_view request,
                               Duration timeout) {
  const auto until =
      std::chrono::steady_clock::now() + std::chrono::duration_cast<Deadline::duration>(timeout);
  const auto address = address_of(socket);
  if (!address) return Failure{address.error()};
  const auto connection = connect_to(*address);
  if (!connection) {
    const int error = errno;
    return Failure{"cannot reach the daemon at " + socket.string() + ": " +
                   std::error_code{error, std::generic_category()}.message() + ". " + advice(error)};
  }
  std::string answer;
  // A daemon that refuses a request may stop reading in the middle of it; its answer says why.
  write_all(connection->get(), std::string{request} + '\n', until);
  switch (LineReader{connection->get(), kLongestAnswer}.next(answer, until)) {
    case LineEnd::complete: return answer;
    case LineEnd::closed:
      return Failure{"the daemon closed the connection at " + socket.string() +
                     " without an answer. Look at its log."};
    case LineEnd::too_late:
      return Failure{"the daemon at " + socket.string() +
                     " did not answer in time. Look at its log; it may be stopped."};
    case LineEnd::too_long:
      return Failure{"the answer from " + socket.string() + " is too long: is this the daemon's socket?"};
  }
  return Failure{"no answer"};
}

}  // namespace stillwell::report
