#include "stillwell/alarm/annunciator.hpp"

#include <algorithm>
#include <utility>

namespace stillwell {
namespace {

/// Keeps a horn sounding: it stands, or it is latched and nobody saw it yet.
bool calls(AlarmState state) {
  return state == AlarmState::unacknowledged || state == AlarmState::acknowledged ||
         state == AlarmState::latched_unacknowledged;
}

bool is_unacknowledged(AlarmState state) {
  return state == AlarmState::unacknowledged || state == AlarmState::latched_unacknowledged;
}

bool is_new(const AlarmStep& step) {
  return step.after == AlarmState::unacknowledged && step.before != AlarmState::unacknowledged;
}

/// Shelving and the like also end a call, but nobody acknowledged then.
bool was_acknowledged(const AlarmStep& step) {
  const bool open = is_unacknowledged(step.before) || step.before == AlarmState::returned_unacknowledged;
  return open && (step.after == AlarmState::acknowledged || step.after == AlarmState::latched_acknowledged ||
                  step.after == AlarmState::normal);
}

AnnunciatorState state_after(AnnunciatorEvent event) {
  switch (event) {
    case AnnunciatorEvent::sounds:
    case AnnunciatorEvent::sounds_after_start:
    case AnnunciatorEvent::sounds_again: return AnnunciatorState::sounding;
    case AnnunciatorEvent::silenced_by_switch:
    case AnnunciatorEvent::silenced_by_command:
    case AnnunciatorEvent::silenced_by_acknowledge: return AnnunciatorState::silenced;
    case AnnunciatorEvent::ended:
    case AnnunciatorEvent::test:
    case AnnunciatorEvent::contact_unreachable: break;
  }
  return AnnunciatorState::quiet;
}

void enter(AnnunciatorMemory& memory, AnnunciatorState state, Instant now) {
  memory.state = state;
  memory.since = now;
}

/// What changes its state in this scan, the strongest first: a new alarm outweighs the silence of an old one.
std::optional<AnnunciatorEvent> change(const AnnunciatorMemory& memory, const Annunciator& annunciator,
                                       const AnnunciatorInputs& inputs, bool pressed) {
  const auto any = [&](auto condition) { return std::ranges::any_of(inputs.alarms, condition); };
  const bool sounding = memory.state == AnnunciatorState::sounding;
  if (any(is_new)) return sounding ? std::nullopt : std::optional{AnnunciatorEvent::sounds};
  if (!any([](const AlarmStep& step) { return calls(step.after); })) {
    if (memory.state == AnnunciatorState::quiet) return {};
    return AnnunciatorEvent::ended;
  }
  if (sounding && pressed) return AnnunciatorEvent::silenced_by_switch;
  if (sounding && any(was_acknowledged)) return AnnunciatorEvent::silenced_by_acknowledge;
  const bool waits = memory.state == AnnunciatorState::silenced && annunciator.again_after;
  if (waits && inputs.now - *memory.since >= *annunciator.again_after) return AnnunciatorEvent::sounds_again;
  return {};
}

/// In the first scan of a run: alarms that stand have a past of which this annunciator knows nothing.
std::optional<AnnunciatorEvent> begin(AnnunciatorMemory& memory, const AnnunciatorInputs& inputs) {
  const auto stands = [&](auto condition) {
    return std::ranges::any_of(inputs.alarms, condition, &AlarmStep::after);
  };
  if (std::ranges::any_of(inputs.alarms, is_new)) return AnnunciatorEvent::sounds;
  if (stands(is_unacknowledged)) return AnnunciatorEvent::sounds_after_start;
  if (stands(calls)) enter(memory, AnnunciatorState::silenced, inputs.now);
  return {};
}

bool is_tested(const AnnunciatorMemory& memory, Instant now) {
  return memory.tested && now - *memory.tested < kHornTest;
}

bool is_confirmed(const AnnunciatorMemory& memory, const Annunciator& annunciator,
                  const AnnunciatorInputs& inputs) {
  const ContactSample& contact = inputs.contact;
  if (!contact.on || contact.at < memory.ordered_at) return false;
  return inputs.now - contact.at <= annunciator.contact_within && *contact.on == (memory.order == Order::on);
}

/// Told once, until the contact is confirmed again.
bool became_unreachable(AnnunciatorMemory& memory, const Annunciator& annunciator,
                        const AnnunciatorInputs& inputs) {
  if (is_confirmed(memory, annunciator, inputs)) {
    memory.doubt.restart();
    memory.doubted = false;
    return false;
  }
  const bool doubted = memory.doubt.step(true, annunciator.contact_within, inputs.now);
  return doubted && !std::exchange(memory.doubted, true);
}

}  // namespace

bool sounds_for(const Annunciator& annunciator, Priority priority) {
  return std::ranges::find(annunciator.sounds_for, priority) != annunciator.sounds_for.end();
}

AnnunciatorOutcome follow(AnnunciatorMemory& memory, const Annunciator& annunciator,
                          const AnnunciatorInputs& inputs) {
  AnnunciatorOutcome outcome;
  const bool pressed = annunciator.silence_switch && inputs.button &&
                       follow(memory.button, *inputs.button, annunciator.silence_switch->debounce);
  if (became_unreachable(memory, annunciator, inputs))
    outcome.events.push_back(AnnunciatorEvent::contact_unreachable);
  const auto event = std::exchange(memory.began, true) ? change(memory, annunciator, inputs, pressed)
                                                       : begin(memory, inputs);
  if (event) {
    enter(memory, state_after(*event), inputs.now);
    outcome.events.push_back(*event);
  }
  if (!is_tested(memory, inputs.now)) memory.tested.reset();
  outcome.order = memory.state == AnnunciatorState::sounding || memory.tested ? Order::on : Order::off;
  if (outcome.order != memory.order) memory.ordered_at = inputs.now;
  memory.order = outcome.order;
  return outcome;
}

bool silence(AnnunciatorMemory& memory, Instant now) {
  if (memory.state != AnnunciatorState::sounding) return false;
  enter(memory, AnnunciatorState::silenced, now);
  return true;
}

void test(AnnunciatorMemory& memory, Instant now) {
  memory.tested = now;
}

}  // namespace stillwell
