#include "stillwell/rehearsal/trace.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::rehearsal {

Trace::Trace(const Model& model, Duration lasts, std::size_t pieces)
    : lasts_{lasts},
      pieces_{pieces},
      tanks_(model.tanks.size(), std::vector<std::optional<Reach>>(pieces)),
      before_(model.tanks.size()),
      pumps_(model.pumps.size(), std::vector<bool>(pieces)),
      alarms_(model.alarms.size(), std::vector<bool>(pieces)) {}

void Trace::note(std::size_t tank, std::size_t piece, const Level& level) {
  const auto before = std::exchange(before_[tank], level.usable() ? level.level : std::nullopt);
  if (!level.usable()) return;
  std::optional<Reach>& reach = tanks_[tank][piece];
  if (!reach) reach = Reach{before.value_or(*level.level), before.value_or(*level.level)};
  reach->lowest = std::min(reach->lowest, *level.level);
  reach->highest = std::max(reach->highest, *level.level);
}

void Trace::add(const Scanned& scanned) {
  const double share = seconds_of(scanned.since) / seconds_of(lasts_);
  const auto piece = std::min(static_cast<std::size_t>(share * static_cast<double>(pieces_)), pieces_ - 1);
  const View& view = scanned.outcome.view;
  for (std::size_t at = 0; at < tanks_.size(); ++at)
    note(at, piece, view.tanks[at].level);
  for (std::size_t at = 0; at < pumps_.size(); ++at)
    if (view.pumps[at].order == Order::on) pumps_[at][piece] = true;
  for (std::size_t at = 0; at < alarms_.size(); ++at)
    if (stands(view.alarms[at].state)) alarms_[at][piece] = true;
}

}  // namespace stillwell::rehearsal
