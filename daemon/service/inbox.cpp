#include "stillwell/service/inbox.hpp"

#include <utility>

namespace stillwell::service {
namespace {

constexpr const char* kStopping = "the daemon is stopping";

}  // namespace

Answer Inbox::ask(Command command, Duration limit) {
  std::unique_lock lock{mutex_};
  if (closed_) return {0, false, kStopping, false};
  if (waiting_.size() >= kMostWaiting)
    return {0, false, "too many commands are waiting; try again in a moment", false};
  const std::uint64_t number = next_++;
  command.number = number;
  waiting_.push_back(std::move(command));
  senders_.insert(number);
  bell_.ring();

  answered_.wait_for(lock, limit, [&] { return closed_ || answers_.contains(number); });
  senders_.erase(number);
  if (!answers_.contains(number)) {
    std::erase_if(waiting_, [number](const Command& other) { return other.number == number; });
    if (closed_) return {number, false, kStopping, false};
    return {number, false, "the rules gave no answer in time; see `stillwell status`", false};
  }
  return answers_.extract(number).mapped();
}

void Inbox::close() {
  const std::lock_guard lock{mutex_};
  closed_ = true;
  answered_.notify_all();
}

std::vector<Command> Inbox::take() {
  const std::lock_guard lock{mutex_};
  return std::exchange(waiting_, {});
}

void Inbox::answer(const std::vector<Answer>& answers) {
  if (answers.empty()) return;
  const std::lock_guard lock{mutex_};
  for (const Answer& answer : answers) {
    if (senders_.contains(answer.number)) answers_.emplace(answer.number, answer);
  }
  answered_.notify_all();
}

}  // namespace stillwell::service
