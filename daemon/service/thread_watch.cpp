#include "stillwell/service/thread_watch.hpp"

namespace stillwell::service {

bool ThreadWatch::all_move(std::vector<std::uint64_t> beats, const report::ScanHealth& health, Instant now) {
  beats.push_back(health.scans);
  moved_.resize(beats.size(), now);
  last_.resize(beats.size());
  bool all = true;
  for (std::size_t at = 0; at < beats.size(); ++at) {
    if (beats[at] != last_[at]) moved_[at] = now;
    last_[at] = beats[at];
    all = all && now - moved_[at] < patience_;
  }
  return all;
}

}  // namespace stillwell::service
