#include "stillwell/field/pin_thread.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

namespace stillwell::field {
namespace {

/// A press of a button lasts a tenth of a second at least (common practice, no source).
constexpr Duration kLook = std::chrono::milliseconds{50};

/// Rule 13: what drops out by itself elsewhere must be made to here, when the scan hangs.
constexpr int kYoungPinScans = 2;

}  // namespace

PinThread::PinThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders,
                     std::unique_ptr<PinBank> bank)
    : LineThread{line, board, orders},
      readings_{board},
      standing_{orders},
      bank_{std::move(bank)},
      young_{wiring.scan * kYoungPinScans} {
  // Contacts first: when another pin cannot be had, they were off at least once.
  for (std::size_t at = 0; at < wiring.contacts.size(); ++at) {
    const config::ContactWiring& wired = wiring.contacts[at];
    const auto* pin = std::get_if<config::Pin>(&wired.output);
    if (wired.line != line || pin == nullptr) continue;
    const ContactTiming timing{
        .every = wired.every, .refresh_every = {}, .scan = wiring.scan, .drives_motor = wired.drives_motor};
    outputs_.push_back({.contact = {at}, .use = uses_.size(), .duty = ContactDuty{timing, now()}});
    uses_.push_back({.pin = *pin, .is_output = true});
  }
  for (std::size_t at = 0; at < wiring.switches.size(); ++at) {
    const config::SwitchWiring& wired = wiring.switches[at];
    if (wired.line != line || !wired.pin) continue;
    inputs_.push_back({.input = {at}, .use = uses_.size(), .every = wired.every});
    uses_.push_back({.pin = *wired.pin, .is_output = false});
  }
}

void PinThread::opened(Instant now) {
  look_at_ = now;
  for (Input& input : inputs_)
    input.closed.reset();
}

void PinThread::failed(Instant now) {
  for (Output& output : outputs_) {
    output.duty.lost(now);
    readings_.put(output.contact, ContactSample{.at = now, .on = {}, .fault = Reason::no_answer});
  }
  for (const Input& input : inputs_)
    readings_.put(input.input, SwitchSample{.at = now, .closed = {}, .fault = Reason::no_answer});
}

Instant PinThread::turn(Instant now) {
  take(standing_.newest(), now);
  for (Output& output : outputs_) {
    if (!serve(output, now)) {
      bank_->close();
      return now;
    }
  }
  if (now >= look_at_) {
    look_at_ = now + kLook;
    for (Input& input : inputs_) {
      if (look(input, now)) continue;
      bank_->close();
      return now;
    }
  }
  Instant soonest = inputs_.empty() ? Instant::max() : look_at_;
  if (expires_ > now) soonest = std::min(soonest, expires_);
  for (const Output& output : outputs_)
    soonest = std::min(soonest, output.duty.wake(now));
  return soonest;
}

void PinThread::take(const StandingOrders& orders, Instant now) {
  const bool insist = std::exchange(insistence_, orders.insistence) != orders.insistence;
  expires_ = orders.solved + young_;
  for (Output& output : outputs_) {
    const bool is_young = now < expires_;
    output.duty.order(is_young ? orders.of(output.contact) : Order::off, orders.solved);
    if (insist) output.duty.insist(now);
  }
}

/// Writes and reads back in one go. False: the board is lost.
bool PinThread::serve(Output& output, Instant now) {
  if (output.duty.step(now) == ContactDuty::Step::write) {
    const bool arrived = count(bank_->set(output.use, output.duty.target() == Order::on));
    output.duty.wrote(arrived, now);
    if (!arrived) return false;
  }
  if (output.duty.step(now) != ContactDuty::Step::verify) return true;
  const auto on = read_back(output);
  output.duty.verified(on, now);
  readings_.put(output.contact,
                ContactSample{.at = now, .on = on, .fault = on ? Reason::none : Reason::no_answer});
  return on.has_value();
}

std::optional<bool> PinThread::read_back(const Output& output) {
  const auto first = bank_->get(output.use);
  const auto second = bank_->get(output.use);
  return count(first && first == second) ? first : std::nullopt;
}

bool PinThread::look(Input& input, Instant now) {
  const auto closed = bank_->get(input.use);
  if (!count(closed.has_value())) return false;
  if (closed != input.closed) input.lively_until = now + input.every;
  const bool is_told = closed != input.closed || now < input.lively_until || now >= input.tell_at;
  input.closed = closed;
  if (!is_told) return true;
  input.tell_at = now + input.every;
  readings_.put(input.input, SwitchSample{.at = now, .closed = closed, .fault = Reason::none});
  return true;
}

bool PinThread::count(bool well) {
  ++(well ? answered_ : failed_);
  return well;
}

LineSample PinThread::health() const {
  return {.open = bank_->is_open(), .answered = answered_, .failed = failed_};
}

}  // namespace stillwell::field
