#pragma once
// Which refused commands the journal hears of: the first of each kind, and a minute later how many more there
// were. Whoever floods the gate does not flood the journal. Pure; used by one thread.

#include "stillwell/report/command_gate.hpp"
#include "stillwell/site/event.hpp"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace stillwell::report {

class RefusalStory {
 public:
  using Time = Incoming::Time;

  explicit RefusalStory(std::string site) : site_{std::move(site)} {}

  /// `times`: how often the same was refused.
  std::vector<Event> refused(const Refusal& refusal, Time now, std::size_t times = 1);
  /// The counts whose minute is over.
  std::vector<Event> look(Time now);
  /// Whether look() will have something to say some time.
  [[nodiscard]] bool is_counting() const { return !kinds_.empty(); }

 private:
  struct Told {
    Time at{};
    std::size_t more = 0;
    Refusal last;
  };

  [[nodiscard]] Event event(const Refusal& refusal, const std::string& how_many) const;

  std::string site_;
  std::map<Why, Told> kinds_;  ///< within the last minute
};

}  // namespace stillwell::report
