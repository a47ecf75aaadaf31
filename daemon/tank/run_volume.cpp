#include "stillwell/tank/run_volume.hpp"

namespace stillwell {

namespace {

Litres over(LitresPerSecond flow, Duration time) {
  return Litres{flow.value() * seconds_of(time)};
}

}  // namespace

void RunVolume::begin() {
  if (standing_ && last_->at - standing_->at >= kBefore) {
    anyway_ = LitresPerSecond{(last_->contents - standing_->contents).value() /
                              seconds_of(last_->at - standing_->at)};
    began_ = last_;
  }
  standing_.reset();
  newer_.reset();
}

std::optional<RunMoved> RunVolume::end() {
  std::optional<RunMoved> moved;
  if (began_ && last_->at - began_->at >= kShortest) {
    const Duration ran = last_->at - began_->at;
    moved = {last_->contents - began_->contents - over(anyway_, ran), ran};
  }
  began_.reset();
  return moved;
}

void RunVolume::stand(const Mark& now) {
  if (!standing_) standing_ = now;
  if (!newer_ && now.at - standing_->at >= kBefore) newer_ = now;
  if (newer_ && now.at - newer_->at >= kBefore) {
    standing_ = newer_;
    newer_ = now;
  }
}

std::optional<RunMoved> RunVolume::step(const RunSight& sight) {
  if (!sight.contents || !sight.runs || !sight.alone) {
    *this = {};
    return {};
  }
  std::optional<RunMoved> moved;
  if (last_ && *sight.runs != ran_) {
    if (*sight.runs)
      begin();
    else
      moved = end();
  }
  ran_ = *sight.runs;
  last_ = Mark{sight.at, *sight.contents};
  if (!ran_) stand(*last_);
  return moved;
}

}  // namespace stillwell
