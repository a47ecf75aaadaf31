#include "stillwell/report/refusal_story.hpp"

namespace stillwell::report {
namespace {

constexpr auto kQuiet = std::chrono::seconds{60};

}  // namespace

std::vector<Event> RefusalStory::refused(const Refusal& refusal, Time now, std::size_t times) {
  auto events = look(now);
  const auto [told, is_first] = kinds_.try_emplace(refusal.why, Told{.at = now, .more = 0, .last = refusal});
  if (is_first) events.push_back(event(refusal, ""));
  told->second.more += is_first ? times - 1 : times;
  told->second.last = refusal;
  return events;
}

std::vector<Event> RefusalStory::look(Time now) {
  std::vector<Event> events;
  std::erase_if(kinds_, [&](const auto& kind) {
    const Told& told = kind.second;
    if (now - told.at < kQuiet) return false;
    if (told.more > 0)
      events.push_back(
          event(told.last, std::to_string(told.more) + " more within a minute, the last one at "));
    return true;
  });
  return events;
}

Event RefusalStory::event(const Refusal& refusal, const std::string& how_many) const {
  return {.kind = EventKind::command,
          .of = refusal.of.empty() ? site_ : refusal.of,
          .cause = refusal.verb.empty() ? "set" : refusal.verb,
          .text = "refused: " + how_many + refusal.topic + ": " + refusal.text + " (over MQTT).",
          .values = {}};
}

}  // namespace stillwell::report
