#include "stillwell/field/modbus_contacts.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::field {
namespace {

using config::CoilOutput;
using config::ContactWiring;
using config::RegisterOutput;
using config::Table;

constexpr int kRefreshesInHold = 3;  // two may be lost before the relay drops out

Span span_of(const ContactWiring& wired) {
  if (const auto* coil = std::get_if<CoilOutput>(&wired.output))
    return {.table = Table::coil, .address = coil->address, .count = 1};
  return {.table = Table::holding, .address = std::get<RegisterOutput>(wired.output).address, .count = 1};
}

ContactTiming timing_of(const ContactWiring& wired, Duration scan) {
  ContactTiming timing{
      .every = wired.every, .refresh_every = {}, .scan = scan, .drives_motor = wired.drives_motor};
  if (wired.refresh) timing.refresh_every = wired.refresh->hold / kRefreshesInHold;
  return timing;
}

/// What a word read back says about the contact; a register that is neither its on nor its off says nothing.
std::optional<bool> meaning(const ContactWiring& wired, std::uint16_t word) {
  const auto* output = std::get_if<RegisterOutput>(&wired.output);
  if (output == nullptr) return word != 0;
  if (word == output->on) return true;
  if (word == output->off) return false;
  return std::nullopt;
}

std::uint16_t hold_word(const config::Refresh& refresh) {
  const auto units = refresh.unit > Duration::zero() ? refresh.hold / refresh.unit : 1;
  return static_cast<std::uint16_t>(std::clamp<Duration::rep>(units, 1, 0xFFFF));
}

}  // namespace

ModbusContacts::ModbusContacts(const config::Wiring& wiring, LineIndex line, Exchange& exchange, Board& board,
                               Instant start)
    : exchange_{exchange}, board_{board} {
  for (std::size_t at = 0; at < wiring.contacts.size(); ++at) {
    const ContactWiring& wired = wiring.contacts[at];
    if (wired.line != line) continue;
    posts_.push_back({.contact = {at},
                      .wired = wired,
                      .back = VariedSpan{span_of(wired)},
                      .duty = ContactDuty{timing_of(wired, wiring.scan), start}});
  }
}

void ModbusContacts::take(const StandingOrders& orders, Instant now) {
  const bool insist = std::exchange(insistence_, orders.insistence) != orders.insistence;
  for (Post& post : posts_) {
    post.duty.order(orders.of(post.contact), orders.solved);
    if (insist) post.duty.insist(now);
  }
}

ModbusContacts::Served ModbusContacts::serve(Instant now, bool urgent_only) {
  for (std::size_t n = 0; n < posts_.size(); ++n) {
    const std::size_t at = (next_ + n) % posts_.size();
    Post& post = posts_[at];
    const auto step = post.duty.step(now);
    if (step == ContactDuty::Step::none || (urgent_only && !post.duty.is_urgent())) continue;
    if (step == ContactDuty::Step::verify && now < exchange_.ready_at()) continue;
    // A contact that was just written goes on to be read back; only then is it another's turn.
    next_ = step == ContactDuty::Step::verify ? at + 1 : at;
    switch (step) {
      case ContactDuty::Step::none: break;
      case ContactDuty::Step::write: return write(post);
      case ContactDuty::Step::verify: return verify(post);
      case ContactDuty::Step::refresh: return refresh(post);
    }
  }
  return Served::nothing;
}

ModbusContacts::Served ModbusContacts::write(Post& post) {
  const bool on = post.duty.target() == Order::on;
  Reply reply;
  if (const auto* output = std::get_if<RegisterOutput>(&post.wired.output))
    reply = exchange_.write_register(post.wired.station, output->address, on ? output->on : output->off);
  else
    reply = exchange_.write_coil(post.wired.station, std::get<CoilOutput>(post.wired.output).address, on);
  // A garbled echo may follow a write that worked; an unspoilt one proves nothing. The read-back decides.
  const bool arrived = reply.status == ReplyStatus::answered || reply.status == ReplyStatus::corrupt;
  const Instant done = now();
  post.duty.wrote(arrived, done);
  if (!arrived) fail(post, reason_of(reply.status), done);
  return arrived ? Served::duty : Served::rest;
}

ModbusContacts::Served ModbusContacts::verify(Post& post) {
  const bool routine = post.duty.is_routine();
  Reason fault = Reason::none;
  const auto on = read_back(post, fault);
  const Instant done = now();
  post.duty.verified(on, done);
  if (on)
    board_.put(post.contact, ContactSample{.at = done, .on = on, .fault = Reason::none});
  else
    fail(post, fault, done);
  const bool as_ordered = on == (post.duty.target() == Order::on);
  return as_ordered && !routine ? Served::duty : Served::rest;
}

/// Two reads of different size that agree: one late reply cannot pass for both. A module that allows one size
/// only is read twice all the same; there the silence that the line keeps after every lost reply has to do.
std::optional<bool> ModbusContacts::read_back(Post& post, Reason& fault) {
  std::optional<bool> agreed;
  for (int read = 0; read < 2; ++read) {
    const Reply reply = exchange_.read(post.wired.station, post.back);
    fault = reason_of(reply.status);
    if (reply.status != ReplyStatus::answered) return std::nullopt;
    const auto on = meaning(post.wired, reply.words[0]);
    if (!on || (agreed && *agreed != *on)) {
      fault = Reason::disagree;
      return std::nullopt;
    }
    agreed = on;
  }
  return agreed;
}

ModbusContacts::Served ModbusContacts::refresh(Post& post) {
  const config::Refresh& wired = *post.wired.refresh;
  const Reply reply = exchange_.write_register(post.wired.station, wired.address, hold_word(wired));
  const bool arrived = reply.status == ReplyStatus::answered;
  const Instant done = now();
  post.duty.refreshed(arrived, done);
  if (!arrived) fail(post, reason_of(reply.status), done);
  return arrived ? Served::duty : Served::rest;
}

void ModbusContacts::fail(const Post& post, Reason reason, Instant at) {
  board_.put(post.contact, ContactSample{.at = at, .on = {}, .fault = reason});
}

void ModbusContacts::fail_all(Instant now) {
  for (Post& post : posts_) {
    post.duty.lost(now);
    fail(post, Reason::no_answer, now);
  }
}

std::optional<Instant> ModbusContacts::wake(Instant now) {
  std::optional<Instant> soonest;
  for (Post& post : posts_) {
    // What is due and was not served is a read that waits for the line to have been silent long enough.
    const bool waits = post.duty.step(now) != ContactDuty::Step::none;
    const Instant at = waits ? std::max(now, exchange_.ready_at()) : post.duty.wake(now);
    soonest = soonest ? std::min(*soonest, at) : at;
  }
  return soonest;
}

}  // namespace stillwell::field
