#include "stillwell/service/lock.hpp"

#include <cerrno>
#include <cstring>
#include <system_error>

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

namespace stillwell::service {
namespace {

LockTry failed(const std::filesystem::path& path, int error) {
  return {.lock = {},
          .why = path.string() + ": " + std::generic_category().message(error) +
                 "; the state directory must exist and be writable (set STATE_DIRECTORY or --state)"};
}

}  // namespace

LockTry lock_state(const std::filesystem::path& state_directory) {
  std::error_code error;
  std::filesystem::create_directories(state_directory, error);
  if (error) return failed(state_directory, error.value());
  const std::filesystem::path path = state_directory / "lock";
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0640);
  if (file < 0) return failed(path, errno);
  if (::flock(file, LOCK_EX | LOCK_NB) != 0) {
    const int why = errno;
    ::close(file);
    if (why != EWOULDBLOCK) return failed(path, why);
    return {.lock = {},
            .held_by_another = true,
            .why = "another stillwell daemon holds " + path.string() +
                   "; nothing was touched. Stop it first (systemctl stop stillwell)"};
  }
  const auto let_go = [](const int* held) {
    ::close(*held);
    delete held;
  };
  return {.lock = StateLock{new int{file}, let_go}, .why = {}};
}

}  // namespace stillwell::service
