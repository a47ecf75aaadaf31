#include "stillwell/field/modbus_polls.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/meter_reading.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

namespace stillwell::field {
namespace {

constexpr Duration kLongestWait = std::chrono::seconds{30};

/// An unanswered question costs its timeout, and as long again in which nothing else may be read.
Duration probe_of(const config::LineWiring& line) {
  return line.timeout * 2;
}

}  // namespace

ModbusPolls::ModbusPolls(const config::Wiring& wiring, LineIndex line, Exchange& exchange, Board& board,
                         Instant start)
    : exchange_{exchange},
      board_{board},
      schedule_{probe_of(wiring.lines[line.at]), wiring.lines[line.at].tries} {
  for (std::size_t at = 0; at < wiring.gauges.size(); ++at) {
    const config::GaugeWiring& gauge = wiring.gauges[at];
    const auto* wired = std::get_if<config::ModbusGauge>(&gauge.source);
    if (gauge.line != line || wired == nullptr) continue;
    schedule_.add(wired->station, gauge.every, start);
    GaugePoll poll{.gauge = {at}, .wired = *wired, .every = gauge.every, .needed = {}, .companions = {}};
    plan(poll, reads_of(*wired));
    polls_.push_back({.station = wired->station, .of = std::move(poll)});
  }
  for (std::size_t at = 0; at < wiring.switches.size(); ++at) {
    const config::SwitchWiring& input = wiring.switches[at];
    if (input.line != line) continue;
    const Span bit{.table = input.table, .address = input.address, .count = 1};
    schedule_.add(input.station, input.every, start);
    polls_.push_back({.station = input.station, .of = SwitchPoll{.input = {at}, .bit = VariedSpan{bit}}});
  }
  for (std::size_t at = 0; at < wiring.meters.size(); ++at) {
    const config::MeterWiring& meter = wiring.meters[at];
    if (meter.line != line) continue;
    schedule_.add(meter.station, meter.every, start);
    polls_.push_back(
        {.station = meter.station,
         .of = MeterPoll{.meter = {at}, .wired = meter, .number = VariedSpan{span_of(meter.number)}}});
  }
}

void ModbusPolls::plan(GaugePoll& poll, const std::vector<config::GaugeRead>& reads) {
  poll.needed.clear();
  poll.companions.clear();
  for (const config::GaugeRead& read : reads) {
    if (read.needed)
      poll.needed.emplace_back(read.span);
    else
      poll.companions.push_back(
          {.varied = VariedSpan{read.span}, .wait = Backoff{poll.every, kLongestWait}, .at = {}});
  }
}

/// A module that refuses to have several things fetched at once is asked for each of them from now on. False
/// when it is already.
bool ModbusPolls::plan_apart(GaugePoll& poll) {
  const auto reads = reads_apart_of(poll.wired);
  if (reads.size() == poll.needed.size() + poll.companions.size()) return false;
  plan(poll, reads);
  return true;
}

bool ModbusPolls::serve(Instant now) {
  if (now < exchange_.ready_at()) return false;
  const auto job = schedule_.next(now);
  if (!job) return false;
  Poll& poll = polls_[*job];
  const ReplyStatus status = std::visit([&](auto& wired) { return read(poll.station, wired); }, poll.of);
  const Instant done = field::now();
  switch (status) {
    case ReplyStatus::answered: schedule_.answered(*job, done); break;
    case ReplyStatus::exception:  // the station is well, the reading is not
      schedule_.answered(*job, done);
      fail(poll, reason_of(status), done);
      break;
    case ReplyStatus::silent:
    case ReplyStatus::corrupt: missed(*job, reason_of(status), done); break;
    case ReplyStatus::lost: break;  // fail_all() follows
  }
  return true;
}

ReplyStatus ModbusPolls::read(int station, GaugePoll& poll) {
  std::vector<ReadWords> reads;
  for (VariedSpan& varied : poll.needed) {
    Reply reply = exchange_.read(station, varied);
    if (refuses_the_span(reply) && plan_apart(poll)) return read(station, poll);
    if (reply.status != ReplyStatus::answered) return reply.status;
    reads.push_back({varied.span, std::move(reply.words)});
  }
  for (Companion& companion : poll.companions) {
    // After one that was lost the line keeps silent, and the reading does not wait for the others.
    if (now() < std::max(companion.at, exchange_.ready_at())) continue;
    Reply reply = read_companion(station, companion);
    if (refuses_the_span(reply) && plan_apart(poll)) return read(station, poll);
    if (reply.status == ReplyStatus::lost) return reply.status;
    if (reply.status == ReplyStatus::answered)
      reads.push_back({companion.varied.span, std::move(reply.words)});
  }
  board_.put(poll.gauge, to_sample(poll.wired, reads, field::now()));
  return ReplyStatus::answered;
}

Reply ModbusPolls::read_companion(int station, Companion& companion) {
  Reply reply = exchange_.read(station, companion.varied);
  if (reply.status == ReplyStatus::answered)
    companion.wait.reset();
  else
    companion.at = now() + companion.wait.next();
  return reply;
}

ReplyStatus ModbusPolls::read(int station, SwitchPoll& poll) {
  const Reply reply = exchange_.read(station, poll.bit);
  if (reply.status != ReplyStatus::answered) return reply.status;
  board_.put(poll.input,
             SwitchSample{.at = field::now(), .closed = reply.words[0] != 0, .fault = Reason::none});
  return reply.status;
}

ReplyStatus ModbusPolls::read(int station, MeterPoll& poll) {
  const Reply reply = exchange_.read(station, poll.number);
  if (reply.status != ReplyStatus::answered) return reply.status;
  const ReadWords words{poll.number.span, reply.words};
  board_.put(poll.meter, to_sample(poll.wired, {&words, 1}, field::now()));
  return reply.status;
}

void ModbusPolls::missed(Schedule::Job job, Reason reason, Instant at) {
  switch (schedule_.missed(job, at)) {
    case Schedule::Miss::again: return;
    case Schedule::Miss::job: return fail(polls_[job], reason, at);
    case Schedule::Miss::station:  // it will not be asked for the others for a while, either
      for (const Poll& poll : polls_)
        if (poll.station == polls_[job].station) fail(poll, reason, at);
  }
}

void ModbusPolls::fail(const Poll& poll, Reason reason, Instant at) {
  if (const auto* gauge = std::get_if<GaugePoll>(&poll.of))
    board_.put(gauge->gauge, GaugeSample{.at = at, .value = {}, .air = {}, .fault = reason});
  if (const auto* input = std::get_if<SwitchPoll>(&poll.of))
    board_.put(input->input, SwitchSample{.at = at, .closed = {}, .fault = reason});
  if (const auto* meter = std::get_if<MeterPoll>(&poll.of))
    board_.put(meter->meter, MeterSample{.at = at, .value = {}, .fault = reason});
}

void ModbusPolls::fail_all(Instant now) {
  for (const Poll& poll : polls_)
    fail(poll, Reason::no_answer, now);
}

std::optional<Instant> ModbusPolls::wake() const {
  const auto due = schedule_.wake();
  if (!due) return due;
  return std::max(*due, exchange_.ready_at());
}

}  // namespace stillwell::field
