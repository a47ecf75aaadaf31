#include "stillwell/report/command_door.hpp"

#include "stillwell/report/command_payload.hpp"

#include <chrono>
#include <utility>

namespace stillwell::report {
namespace {

std::set<std::string> ids_of_alarms(const Model& model) {
  std::set<std::string> ids;
  for (const Alarm& alarm : model.alarms)
    ids.insert(alarm.id);
  return ids;
}

constexpr auto kDoorTick = std::chrono::seconds{1};  // how often counts are looked at, while there are any

}  // namespace

CommandDoor::CommandDoor(const Model& model, const std::vector<CommandTopic>& topics, Parts parts)
    : parts_{std::move(parts)}, gate_{topics, ids_of_alarms(model)}, story_{model.id} {
  if (!topics.empty()) thread_ = std::thread{[this] { run(); }};
}

CommandDoor::~CommandDoor() {
  {
    const std::scoped_lock lock{mutex_};
    stopping_ = true;
  }
  changed_.notify_all();
  if (thread_.joinable()) thread_.join();
}

void CommandDoor::put(Incoming message) {
  const std::scoped_lock lock{mutex_};
  if (waiting_.size() >= kWaiting) {
    ++overrun_;
    overrun_topic_ = std::move(message.topic);
    return;
  }
  waiting_.push_back(std::move(message));
  changed_.notify_all();
}

void CommandDoor::run() {
  std::unique_lock lock{mutex_};
  const auto is_awaited = [this] { return stopping_ || !waiting_.empty(); };
  while (true) {
    if (story_.is_counting()) changed_.wait_for(lock, kDoorTick, is_awaited);
    if (!story_.is_counting()) changed_.wait(lock, is_awaited);
    if (stopping_) return;
    std::optional<Incoming> message;
    if (!waiting_.empty()) {
      message = std::move(waiting_.front());
      waiting_.pop_front();
    }
    const auto overrun = std::exchange(overrun_, 0);
    const auto topic = overrun_topic_;
    lock.unlock();
    if (message) serve(*message);
    if (overrun > 0)
      refuse({.why = Why::overrun, .topic = excerpt(topic), .text = "too many came at once"}, overrun);
    say_all(story_.look(std::chrono::steady_clock::now()));
    lock.lock();
  }
}

void CommandDoor::serve(const Incoming& message) {
  const auto wall = parts_.way.wall ? parts_.way.wall() : std::nullopt;
  const auto judgement = gate_.judge(message, std::chrono::steady_clock::now(), wall);
  if (const auto* command = std::get_if<Command>(&judgement)) carry(*command, message);
  const auto* refusal = std::get_if<Refusal>(&judgement);
  if (refusal == nullptr) return;
  if (refusal->why == Why::retained) parts_.clear(message.topic);
  refuse(*refusal);
}

/// What the rules say to it they tell themselves, unless they were not asked.
void CommandDoor::carry(const Command& command, const Incoming& message) {
  const Answer answer = parts_.way.ask(command);
  if (!answer.judged) {
    refuse({.why = Why::unanswered,
            .topic = message.topic,
            .of = command.target,
            .verb = std::string{to_word(command.kind)},
            .text = answer.text});
  }
}

void CommandDoor::refuse(const Refusal& refusal, std::size_t times) {
  say_all(story_.refused(refusal, std::chrono::steady_clock::now(), times));
}

void CommandDoor::say_all(std::vector<Event> events) {
  for (Event& event : events)
    parts_.say(std::move(event));
}

}  // namespace stillwell::report
