#include "stillwell/report/notify_rule.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

std::string text_of(std::uint64_t count) {
  return count == 1
             ? "One alarm or lock-out was not told by itself: too many came, or the program failed. It "
               "is in the journal."
             : std::to_string(count) +
                   " alarms and lock-outs were not told by themselves: too many came, or the program "
                   "failed. They are in the journal.";
}

/// The alarm that a pump is locked out, beside the event of the lock-out itself.
bool repeats_lock_out(const Event& event) {
  return event.kind == EventKind::alarm &&
         event.of.ends_with("/" + std::string(to_word(AlarmKind::locked_out)));
}

}  // namespace

bool NotifyRule::wants(Priority priority) const {
  return std::ranges::find(notify_.priorities, priority) != notify_.priorities.end();
}

bool NotifyRule::concerns(const Event& event) const {
  const bool has_risen = event.kind == EventKind::alarm && event.cause == to_word(AlarmState::unacknowledged);
  if (!has_risen && event.kind != EventKind::lockout) return false;
  if (repeats_lock_out(event) && wants(Priority::high)) return false;  // one thing is told once
  return event.priority && wants(*event.priority);
}

void NotifyRule::put(const Entry& entry, Time now) {
  if (!concerns(entry.event)) return;
  if (waiting_.size() < kWaiting) {
    waiting_.push_back(entry);
    return;
  }
  ++crowded_out_;
  hold_back(1, entry.at, now);
}

std::optional<std::string> NotifyRule::next(Time now) {
  if (call_ && call_->again) return now < *call_->again ? std::nullopt : std::optional{call_->input};
  while (!waiting_.empty()) {
    const Entry entry = std::move(waiting_.front());
    waiting_.pop_front();
    if (!take_token(now)) {
      hold_back(1, entry.at, now);
      continue;
    }
    call_ = Call{.input = to_line(entry) + "\n", .events = 1, .at = entry.at};
    add_count(*call_);
    return call_->input;
  }
  if (held_.count == 0 || now - held_.since < kHour || !take_token(now)) return {};
  call_ = Call{};
  add_count(*call_);
  return call_->input;
}

std::optional<NotifyRule::Time> NotifyRule::due() const {
  if (call_) return call_->again;
  if (held_.count > 0) return held_.since + kHour;
  return {};
}

NotifyRule::News NotifyRule::ended(bool well, Time now) {
  if (!call_) return News::none;
  if (!well && !call_->again) {
    call_->again = now + notify_.again_after;
    return News::trying_again;
  }
  const Call call = *std::exchange(call_, {});
  if (!well) hold_back(call.events, call.at, now);
  const bool is_news = failing_ == well;
  failing_ = !well;
  if (!is_news) return News::none;
  return well ? News::well_again : News::failing;
}

bool NotifyRule::take_token(Time now) {
  while (!taken_.empty() && now - taken_.front() >= kHour)
    taken_.pop_front();
  if (taken_.size() >= notify_.at_most) return false;
  taken_.push_back(now);
  return true;
}

void NotifyRule::hold_back(std::uint64_t events, Stamp at, Time now) {
  if (held_.count == 0) held_.since = now;
  held_.count += events;
  held_.at = std::max(held_.at, at);
}

void NotifyRule::add_count(Call& call) {
  if (held_.count == 0) return;
  const HeldBack held = std::exchange(held_, {});
  const Json line = {
      {"at", to_text(held.at)}, {"kind", to_word(EventKind::service)}, {"of", site_}, {"cause", "held-back"},
      {"count", held.count},    {"text", text_of(held.count)}};
  call.input += line.dump() + "\n";
  call.events += held.count;
  call.at = std::max(call.at, held.at);
}

}  // namespace stillwell::report
