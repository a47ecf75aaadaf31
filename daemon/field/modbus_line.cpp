#include "stillwell/field/modbus_line.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/serial.hpp"
#include "stillwell/field/tcp.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <utility>

#include <modbus/modbus.h>
#include <unistd.h>

namespace stillwell::field {
namespace {

using config::Table;

constexpr int kRequestBytes = 8;     // of every request used here, with address and check sum
constexpr int kReplyOverhead = 5;    // address, function, size, check sum
constexpr int kMostItems = 2000;     // Modbus Application Protocol V1.1b3, 6.1: bits of one read
constexpr int kMostRegisters = 125;  // and 6.3: registers

struct Closer {
  bool ours = false;  ///< somebody else's claim must not be given up with our failed attempt
  void operator()(modbus_t* context) const {
    if (ours) disclaim(modbus_get_socket(context));
    modbus_close(context);
    modbus_free(context);
  }
};
using Context = std::unique_ptr<modbus_t, Closer>;

/// How the library is made to wait no longer, and to try nothing more, than it is told.
void tame(modbus_t* context) {
  modbus_set_debug(context, 0);
  // Recovery by the library never ends on a dead port and doubles every timeout.
  modbus_set_error_recovery(context, MODBUS_ERROR_RECOVERY_NONE);
  // With a byte timeout a dripping station holds the line for as long as it likes; without, the response
  // timeout bounds the whole reply.
  modbus_set_byte_timeout(context, 0, 0);
}

char parity_letter(config::Parity parity) {
  switch (parity) {
    case config::Parity::none: return 'N';
    case config::Parity::even: return 'E';
    case config::Parity::odd: return 'O';
  }
  return 'N';
}

Reply failed_reply(int error) {
  switch (error) {
    case ETIMEDOUT: return {.status = ReplyStatus::silent, .exception = 0, .words = {}};
    case EINTR:
    case EINVAL:
    case EMBBADCRC:
    case EMBBADDATA:
    case EMBBADEXC:
    case EMBUNKEXC:
    case EMBMDATA:
    case EMBBADSLAVE: return {.status = ReplyStatus::corrupt, .exception = 0, .words = {}};
    default: break;
  }
  const int code = error - MODBUS_ENOBASE;
  if (code > 0 && code < MODBUS_EXCEPTION_MAX)
    return {.status = ReplyStatus::exception, .exception = code, .words = {}};
  // EIO, ECONNRESET, EBADF, ENODEV, ENXIO; whatever else it is, opening the port anew is the cure.
  return {.status = ReplyStatus::lost, .exception = 0, .words = {}};
}

int read_items(modbus_t* context, const Span& span, std::vector<std::uint16_t>& words) {
  const auto count = static_cast<std::size_t>(span.count);
  words.assign(count, 0);
  if (span.table == Table::holding)
    return modbus_read_registers(context, span.address, span.count, words.data());
  if (span.table == Table::input)
    return modbus_read_input_registers(context, span.address, span.count, words.data());
  std::vector<std::uint8_t> bits(count, 0);
  const auto read = span.table == Table::coil ? modbus_read_bits : modbus_read_input_bits;
  const int rc = read(context, span.address, span.count, bits.data());
  std::copy(bits.begin(), bits.end(), words.begin());
  return rc;
}

bool is_askable(const Span& span) {
  const bool bits = span.table == Table::coil || span.table == Table::discrete;
  return span.address >= 0 && span.count > 0 && span.count <= (bits ? kMostItems : kMostRegisters);
}

}  // namespace

class ModbusLine::Impl {
 public:
  explicit Impl(config::LineWiring wiring) : wiring_{std::move(wiring)} {
    if (wiring_.tcp) dialer_.emplace(*wiring_.tcp);
  }

  std::optional<std::string> open();
  void close() { context_.reset(); }
  [[nodiscard]] bool is_open() const { return context_ != nullptr; }
  [[nodiscard]] Instant ready_at() const { return ready_at_; }

  Reply read(int station, const Span& span);
  /// `send` is one call of the library, told by its result whether an answer came.
  template <class Send>
  Reply transact(int station, int reply_bytes, Send send);

 private:
  std::optional<std::string> open_port();
  std::optional<std::string> connect();
  bool hush();

  config::LineWiring wiring_;
  std::optional<TcpDialer> dialer_;
  Context context_;
  Instant quiet_since_{};
  Instant ready_at_{};
};

std::optional<std::string> ModbusLine::Impl::open() {
  close();  // the library forgets the old port when it is connected twice
  auto failure = dialer_ ? connect() : open_port();
  if (!failure) ready_at_ = quiet_since_ = now();
  return failure;
}

std::optional<std::string> ModbusLine::Impl::open_port() {
  if (!speed_code(wiring_.speed))
    return "cannot use " + wiring_.port + ": unknown speed " + std::to_string(wiring_.speed);
  Context context{modbus_new_rtu(wiring_.port.c_str(), wiring_.speed, parity_letter(wiring_.parity),
                                 wiring_.data_bits, wiring_.stop_bits)};
  if (!context) return port_failure(wiring_, errno);
  tame(context.get());
  if (modbus_connect(context.get()) != 0) return port_failure(wiring_, errno);
  const int descriptor = modbus_get_socket(context.get());
  if (auto held = claim(descriptor, wiring_)) return held;
  context.get_deleter().ours = true;
  if (auto refused = check_speed(descriptor, wiring_)) return refused;
  context_ = std::move(context);
  return std::nullopt;
}

/// The library would wait for a name server, and try one address after the other for as long as each takes:
/// it is given a socket that is connected already.
std::optional<std::string> ModbusLine::Impl::connect() {
  const auto descriptor = dialer_->dial(wiring_.timeout);
  if (!descriptor) return descriptor.error();
  Context context{modbus_new_tcp_pi(wiring_.tcp->host.c_str(), std::to_string(wiring_.tcp->port).c_str())};
  if (!context) {
    ::close(*descriptor);
    return "cannot use " + to_text(*wiring_.tcp) + ": its name is too long";
  }
  tame(context.get());
  modbus_set_socket(context.get(), *descriptor);
  context_ = std::move(context);
  return std::nullopt;
}

/// Waits until the line has been silent for its gap, and throws away what still comes. False: the port is
/// lost.
bool ModbusLine::Impl::hush() {
  const int descriptor = modbus_get_socket(context_.get());
  const Instant give_up = now() + wiring_.timeout;  // a babbling line gets its question all the same
  for (Instant at = now(); at < give_up; at = now()) {
    switch (wait_for_bytes(descriptor, quiet_since_ + wiring_.quiet - at)) {
      case Silence::silent: return true;
      case Silence::lost: return false;
      case Silence::bytes: break;
    }
    std::array<std::uint8_t, 256> waste{};
    const auto count = ::read(descriptor, waste.data(), waste.size());
    if (count == 0 || (count < 0 && errno != EAGAIN && errno != EINTR)) return false;
    quiet_since_ = now();
  }
  return true;
}

template <class Send>
Reply ModbusLine::Impl::transact(int station, int reply_bytes, Send send) {
  if (!is_open()) return failed_reply(EBADF);
  if (!hush()) {
    close();
    return failed_reply(EIO);
  }
  const Duration on_the_wire = dialer_ ? Duration{0} : wire_time(wiring_, kRequestBytes + reply_bytes);
  const auto bound = std::chrono::duration_cast<std::chrono::microseconds>(wiring_.timeout + on_the_wire);
  constexpr std::int64_t kMicro = 1'000'000;
  modbus_set_response_timeout(context_.get(), static_cast<std::uint32_t>(bound.count() / kMicro),
                              static_cast<std::uint32_t>(bound.count() % kMicro));
  modbus_flush(context_.get());
  Reply reply{.status = ReplyStatus::answered, .exception = 0, .words = {}};
  if (modbus_set_slave(context_.get(), station) != 0 || send(context_.get(), reply.words) < 0)
    reply = failed_reply(errno);
  quiet_since_ = now();
  if (reply.status == ReplyStatus::lost) close();
  // Over TCP a late answer is told by its number, and a gateway that only drops what it cannot reach must not
  // cost the other stations more than the timeout.
  const bool may_come_late = reply.status == ReplyStatus::silent && !dialer_;
  if (may_come_late || reply.status == ReplyStatus::corrupt) ready_at_ = quiet_since_ + wiring_.timeout;
  return reply;
}

Reply ModbusLine::Impl::read(int station, const Span& span) {
  if (!is_askable(span)) return failed_reply(EMBXILADD);
  return transact(station, kReplyOverhead + reply_bytes(span.table, span.count),
                  [&](modbus_t* context, auto& words) { return read_items(context, span, words); });
}

ModbusLine::ModbusLine(config::LineWiring wiring) : impl_{std::make_unique<Impl>(std::move(wiring))} {}
ModbusLine::~ModbusLine() = default;

std::optional<std::string> ModbusLine::open() {
  return impl_->open();
}
void ModbusLine::close() {
  impl_->close();
}
bool ModbusLine::is_open() const {
  return impl_->is_open();
}
Instant ModbusLine::ready_at() const {
  return impl_->ready_at();
}

Reply ModbusLine::read(int station, const Span& span) {
  return impl_->read(station, span);
}
Reply ModbusLine::write_coil(int station, int address, bool on) {
  return impl_->transact(station, kRequestBytes, [&](modbus_t* context, auto&) {
    return modbus_write_bit(context, address, on ? TRUE : FALSE);
  });
}
Reply ModbusLine::write_register(int station, int address, std::uint16_t value) {
  return impl_->transact(station, kRequestBytes, [&](modbus_t* context, auto&) {
    return modbus_write_register(context, address, value);
  });
}

}  // namespace stillwell::field
