#include "stillwell/field/serial.hpp"

#include <array>
#include <cerrno>
#include <ctime>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/select.h>
#include <termios.h>
#include <unistd.h>

namespace stillwell::field {
namespace {

// Those that both the system and libmodbus know; any other silently becomes 9600 in the library.
constexpr std::array<std::pair<int, unsigned>, 20> kSpeeds{{
    {110, B110},       {300, B300},         {600, B600},         {1200, B1200},       {2400, B2400},
    {4800, B4800},     {9600, B9600},       {19200, B19200},     {38400, B38400},     {57600, B57600},
    {115200, B115200}, {230400, B230400},   {460800, B460800},   {500000, B500000},   {576000, B576000},
    {921600, B921600}, {1000000, B1000000}, {1152000, B1152000}, {1500000, B1500000}, {2000000, B2000000},
}};

tcflag_t character_format(const config::LineWiring& line) {
  tcflag_t flags = CREAD | CLOCAL;
  flags |= line.data_bits == 7 ? CS7 : CS8;
  if (line.stop_bits == 2) flags |= CSTOPB;
  if (line.parity != config::Parity::none) flags |= PARENB;
  if (line.parity == config::Parity::odd) flags |= PARODD;
  return flags;
}

/// Whether it worked is seen by check_speed().
void make_raw(int descriptor, const config::LineWiring& line) {
  termios settings{};
  const auto speed = speed_code(line.speed);
  if (!speed || ::tcgetattr(descriptor, &settings) != 0) return;
  ::cfmakeraw(&settings);
  settings.c_cflag = character_format(line);
  settings.c_cc[VMIN] = 1;  // so that a read of nothing is EAGAIN, and zero bytes mean the end
  settings.c_cc[VTIME] = 0;
  ::cfsetispeed(&settings, *speed);
  ::cfsetospeed(&settings, *speed);
  ::tcsetattr(descriptor, TCSANOW, &settings);
  ::tcflush(descriptor, TCIOFLUSH);
}

std::string cannot_use(const config::LineWiring& line, const std::string& why) {
  return "cannot use " + line.port + ": " + why;
}

}  // namespace

std::optional<unsigned> speed_code(int baud) {
  for (const auto& [rate, code] : kSpeeds)
    if (rate == baud) return code;
  return std::nullopt;
}

std::optional<std::string> claim(int descriptor, const config::LineWiring& line) {
  if (descriptor >= FD_SETSIZE)  // libmodbus selects: a larger one would end the program
    return cannot_use(line, "too many files are open (the limit for this is 1024)");
  // Opening with O_EXCL does not exclude anybody from a serial port; the lock is what counts between programs
  // that ask for it, the ioctl keeps out those that do not (but not root).
  if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0)
    return cannot_use(line, "another program holds it; stop that one first");
  ::ioctl(descriptor, TIOCEXCL);
  return std::nullopt;
}

void disclaim(int descriptor) {
  // Otherwise a pseudo-terminal that its other end keeps alive would refuse the next open.
  ::ioctl(descriptor, TIOCNXCL);
}

bool is_held(const config::LineWiring& line) {
  if (line.tcp || line.port.empty()) return false;
  const int descriptor = ::open(line.port.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (descriptor < 0) return errno == EBUSY;  // TIOCEXCL, for those that are not root
  const bool held = ::flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK;
  ::close(descriptor);
  return held;
}

std::optional<std::string> check_speed(int descriptor, const config::LineWiring& line) {
  termios settings{};
  if (::tcgetattr(descriptor, &settings) != 0) return cannot_use(line, "it is not a serial port");
  const auto speed = speed_code(line.speed);
  if (!speed || ::cfgetospeed(&settings) != *speed)
    return cannot_use(line, "it does not take " + std::to_string(line.speed) + " baud");
  return std::nullopt;
}

std::string port_failure(const config::LineWiring& line, int error) {
  std::string text = "cannot open " + line.port + ": " + std::generic_category().message(error);
  if (error == ENOENT) text += "; is it plugged in? see /dev/serial/by-id";
  if (error == EACCES) text += "; is the user in the group dialout?";
  return text;
}

Duration wire_time(const config::LineWiring& line, int bytes) {
  constexpr std::int64_t kBitsOfCharacter = 11;
  const std::chrono::seconds bits{bytes * kBitsOfCharacter};
  return Duration{bits} / (line.speed > 0 ? line.speed : 1);
}

Silence wait_for_bytes(int descriptor, Duration limit) {
  pollfd wanted{.fd = descriptor, .events = POLLIN, .revents = 0};
  if (limit < Duration::zero()) limit = Duration::zero();
  const auto whole = std::chrono::duration_cast<std::chrono::seconds>(limit);
  const timespec bound{.tv_sec = whole.count(), .tv_nsec = (limit - whole).count()};
  const int ready = ::ppoll(&wanted, 1, &bound, nullptr);
  if (ready < 0) return errno == EINTR ? Silence::silent : Silence::lost;
  if (ready == 0) return Silence::silent;
  if ((wanted.revents & POLLIN) != 0) return Silence::bytes;  // also what came before the end
  return Silence::lost;
}

std::optional<std::string> SerialPort::open(const config::LineWiring& line) {
  close();
  descriptor_ = ::open(line.port.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (descriptor_ < 0) return port_failure(line, errno);
  if (auto held = claim(descriptor_, line)) {  // before its settings are touched
    ::close(std::exchange(descriptor_, -1));
    return held;
  }
  auto failure = retune(line);
  if (failure) close();
  return failure;
}

std::optional<std::string> SerialPort::retune(const config::LineWiring& line) {
  make_raw(descriptor_, line);
  return check_speed(descriptor_, line);
}

void SerialPort::close() {
  if (descriptor_ < 0) return;
  disclaim(descriptor_);
  ::close(descriptor_);
  descriptor_ = -1;
}

std::span<const std::uint8_t> SerialPort::read(std::span<std::uint8_t> room, Duration limit) {
  switch (wait_for_bytes(descriptor_, limit)) {
    case Silence::silent: return {};
    case Silence::lost: close(); return {};
    case Silence::bytes: break;
  }
  const auto count = ::read(descriptor_, room.data(), room.size());
  if (count > 0) return room.first(static_cast<std::size_t>(count));
  const bool nothing_yet = count < 0 && (errno == EAGAIN || errno == EINTR);
  if (!nothing_yet) close();
  return {};
}

void SerialPort::write(std::uint8_t byte) {
  write({&byte, 1});
}

void SerialPort::write(std::span<const std::uint8_t> bytes) {
  const auto count = ::write(descriptor_, bytes.data(), bytes.size());
  // A full buffer means that nobody takes the bytes; the reading will be missed, which is told. Anything else
  // is the end of the port.
  if (count < 0 && errno != EAGAIN && errno != EINTR) close();
}

}  // namespace stillwell::field
