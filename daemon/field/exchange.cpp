#include "stillwell/field/exchange.hpp"

namespace stillwell::field {
namespace {

// Modbus Application Protocol V1.1b3, 7.
constexpr int kIllegalDataAddress = 2;
constexpr int kIllegalDataValue = 3;

constexpr int kGatewayPathUnavailable = 0x0A;
constexpr int kGatewayTargetSilent = 0x0B;

/// A gateway answers for a station that it cannot reach: the station has said nothing.
bool is_for_a_silent_station(const Reply& reply) {
  return reply.status == ReplyStatus::exception &&
         (reply.exception == kGatewayPathUnavailable || reply.exception == kGatewayTargetSilent);
}

}  // namespace

bool refuses_the_span(const Reply& reply) {
  return reply.status == ReplyStatus::exception &&
         (reply.exception == kIllegalDataAddress || reply.exception == kIllegalDataValue);
}

Reason reason_of(ReplyStatus status) {
  switch (status) {
    case ReplyStatus::answered: return Reason::none;
    case ReplyStatus::corrupt: return Reason::bad_frame;
    case ReplyStatus::silent:
    case ReplyStatus::exception:
    case ReplyStatus::lost: return Reason::no_answer;
  }
  return Reason::no_answer;
}

Reply Exchange::read(int station, VariedSpan& varied) {
  int& last_bytes = last_bytes_[{station, varied.span.table}];
  for (;;) {  // every turn but the last one shortens the read
    Span asked = varied.span;
    asked.count = varied.length.choose(last_bytes);
    last_bytes = reply_bytes(asked.table, asked.count);
    Reply reply = count(line_.read(station, asked));
    if (refuses_the_span(reply) && varied.length.refused(asked.count)) continue;
    if (reply.status == ReplyStatus::answered)
      varied.length.answered(asked.count);
    else if (reply.status != ReplyStatus::lost)
      varied.length.unanswered(asked.count);
    return reply;
  }
}

Reply Exchange::write_coil(int station, int address, bool on) {
  return count(line_.write_coil(station, address, on));
}

Reply Exchange::write_register(int station, int address, std::uint16_t value) {
  return count(line_.write_register(station, address, value));
}

Reply Exchange::count(Reply reply) {
  if (is_for_a_silent_station(reply)) reply.status = ReplyStatus::silent;
  const bool answered = reply.status == ReplyStatus::answered || reply.status == ReplyStatus::exception;
  ++(answered ? answered_ : failed_);
  return reply;
}

}  // namespace stillwell::field
