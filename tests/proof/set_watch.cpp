#include "proof/set_watch.hpp"

#include <algorithm>
#include <array>

namespace proof {
namespace {

using enum Cause;
/// interlocks.md rule 8, and what people need a pump for.
constexpr std::array kGiveUp{stuck_on, contact_unreachable, isolator, selector, no_feedback,
                             mode_off, service_out,         command};
constexpr std::array kWait{rest, starts};

template <class List>
bool has(const List& list, Cause cause) {
  return std::find(list.begin(), list.end(), cause) != list.end();
}

}  // namespace

std::vector<std::size_t> SetWatch::turn() const {
  const std::size_t first = set_.order == SetOrder::alternate && last_ ? *last_ + 1 : 0;
  std::vector<std::size_t> order;
  for (std::size_t at = 0; at < held_by_.size(); ++at)
    order.push_back((first + at) % held_by_.size());
  return order;
}

bool SetWatch::is_passed_over(std::size_t member) const {
  const auto& causes = held_by_[member];
  const auto gives_up = [](Cause cause) { return has(kGiveUp, cause); };
  const auto waits = [](Cause cause) { return has(kWait, cause); };
  return std::any_of(causes.begin(), causes.end(), gives_up) ||
         (!causes.empty() && std::all_of(causes.begin(), causes.end(), waits));
}

/// Whether it is among the first so many that can, behind those that run.
bool SetWatch::may_start(std::size_t member, const std::vector<Seen>& members) const {
  std::size_t before = 0;
  for (const Seen& one : members)
    if (one.was_on && !one.was_in_hand) ++before;
  for (const std::size_t at : turn()) {
    if (at == member) break;
    const Seen& other = members[at];
    if (!other.was_on && !other.was_in_hand && !is_passed_over(at)) ++before;
  }
  return before < wanted_;
}

std::string SetWatch::broken_by(const std::vector<Seen>& members) const {
  std::size_t running = 0;
  std::size_t started = 0;
  for (std::size_t at = 0; at < members.size(); ++at) {
    const Seen& one = members[at];
    if (one.on && !one.was_on) ++started;
    if (!one.on || !one.by_itself) continue;
    ++running;
    if (!one.was_on && !may_start(at, members)) return "started out of its turn";
  }
  if (running > 0 && wanted_ == 0) return "one runs although the level asks for none";
  // Two that ran blind may both go on when the level is known again and asks for one.
  if (started > 0 && running > wanted_) return "more pumps start than the level asks for";
  if (started > 1) return "two pumps of a set started in one instant";
  return "";
}

std::string SetWatch::look(const Asked& asked, const std::vector<Seen>& members) {
  if (asked.at_start && wanted_ == 0) wanted_ = 1;
  if (asked.at_second && wanted_ == 1) wanted_ = 2;
  if (asked.at_stop || !asked.known) wanted_ = 0;
  std::string broken = forgot_ ? "a restart forgot whose turn it is" : broken_by(members);
  // Whose turn it is starts in the second scan at the latest in which nothing holds it.
  // What runs in hand runs for whoever set it so, and takes nobody's turn.
  const auto idle = [](const Seen& one) {
    return (!one.on && !one.was_on && one.by_itself) || (one.on && one.was_on && one.was_in_hand);
  };
  bool waits = false;
  if (wanted_ > 0 && std::all_of(members.begin(), members.end(), idle)) {
    for (const std::size_t at : turn()) {
      if (is_passed_over(at)) continue;
      waits = held_by_[at].empty() && members[at].held_by.empty() && !members[at].was_in_hand;
      break;
    }
  }
  if (broken.empty() && waits && waited_) broken = "nobody starts although one could";
  waited_ = waits;
  for (std::size_t at = 0; at < members.size(); ++at) {
    held_by_[at] = members[at].held_by;
    if (!members[at].on || members[at].was_on) continue;
    last_ = at;
    noted_.clear();
  }
  for (std::size_t at = 0; at < members.size(); ++at)
    if (members[at].noted) noted_.push_back(at);
  return broken;
}

/// The turn is kept; what was under way is over. A start that was noted counts as made (rule 23).
void SetWatch::daemon_restarts(std::optional<std::size_t> last) {
  forgot_ = last != last_ && !(last && std::find(noted_.begin(), noted_.end(), *last) != noted_.end());
  last_ = last;
  wanted_ = 0;
  waited_ = false;
  noted_.clear();
  std::fill(held_by_.begin(), held_by_.end(), std::vector<Cause>{});
}

}  // namespace proof
