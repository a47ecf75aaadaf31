#include "stillwell/field/modbus_thread.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>

namespace stillwell::field {

ModbusThread::ModbusThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders)
    : LineThread{line, board, orders},
      line_{wiring.lines[line.at]},
      exchange_{line_},
      polls_{wiring, line, exchange_, board, now()},
      contacts_{wiring, line, exchange_, board, now()},
      standing_{orders} {}

void ModbusThread::opened(Instant now) {
  polls_.restart(now);
}

void ModbusThread::failed(Instant now) {
  polls_.fail_all(now);
  contacts_.fail_all(now);
}

Instant ModbusThread::turn(Instant now) {
  contacts_.take(standing_.newest(), now);
  if (work(now)) return now;
  Instant soonest = Instant::max();
  if (const auto poll = polls_.wake()) soonest = std::min(soonest, *poll);
  if (const auto contact = contacts_.wake(now)) soonest = std::min(soonest, *contact);
  return soonest;
}

/// One transaction. An off that was not tried yet goes before everything. After a contact's failure or
/// routine a poll is served first, so that a dead relay module cannot keep the gauges on its line from being
/// read.
bool ModbusThread::work(Instant now) {
  using Served = ModbusContacts::Served;
  if (contacts_.serve(now, true) != Served::nothing) return true;
  if (owes_a_poll_ && polls_.is_due(now)) {
    // While the line keeps silent after a lost reply the poll waits, and so does every other write: otherwise
    // each of them, lost in its turn, would make the silence start anew.
    owes_a_poll_ = !polls_.serve(now);
    return !owes_a_poll_;
  }
  const Served served = contacts_.serve(now, false);
  if (served != Served::nothing) {
    owes_a_poll_ = served == Served::rest;
    return true;
  }
  return polls_.serve(now);
}

LineSample ModbusThread::health() const {
  return {.open = line_.is_open(), .answered = exchange_.answered(), .failed = exchange_.failed()};
}

}  // namespace stillwell::field
