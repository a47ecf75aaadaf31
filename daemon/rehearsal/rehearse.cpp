#include "stillwell/rehearsal/rehearse.hpp"

namespace stillwell::rehearsal {
namespace {

using std::chrono::floor;
using std::chrono::minutes;

/// The offset of a place changes on the minute.
class LocalClock {
 public:
  explicit LocalClock(const Plan& plan) : plan_{plan} {}

  std::optional<LocalTime> at(Stamp wall) {
    const auto minute = floor<minutes>(wall);
    if (minute_ != minute) local_ = plan_.to_local(wall);
    minute_ = minute;
    return local_;
  }

 private:
  const Plan& plan_;
  std::chrono::sys_time<minutes> minute_ = std::chrono::sys_time<minutes>::min();  // none yet
  std::optional<LocalTime> local_;
};

}  // namespace

Duration rehearse(const Model& model, StandIn& stand_in, const Plan& plan,
                  const std::function<void(const Scanned&)>& tell) {
  // As on a computer that was just switched on.
  constexpr Instant kBegin{std::chrono::minutes{1}};
  Memory memory = remember_nothing(model);
  LocalClock clock{plan};
  InputImage image;
  Duration since{0};
  for (; since < plan.lasts; since += model.scan) {
    const Instant now = kBegin + since;
    if (!stand_in.advance(now)) break;
    const Stamp wall = plan.begins + floor<std::chrono::milliseconds>(since);
    image.readings = stand_in.latest();
    image.wall = wall;
    image.local = clock.at(wall);
    image.durable = now;
    const Outcome outcome = solve(model, memory, image, now);
    stand_in.drive(outcome.contacts);
    tell({.outcome = outcome, .readings = image.readings, .since = since, .wall = wall});
  }
  return since;
}

}  // namespace stillwell::rehearsal
