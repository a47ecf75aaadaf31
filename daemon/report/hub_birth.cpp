#include "stillwell/report/hub_birth.hpp"

#include <algorithm>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr auto kShortest = 1000ms;
constexpr std::uint64_t kSpread = 4000;  // ms
/// A hub that is still at work on one copy of a document may leave the next one half read.
constexpr auto kApart = 10s;

}  // namespace

HubBirth::HubBirth(std::uint64_t own) : wait_{kShortest + std::chrono::milliseconds{own % (kSpread + 1)}} {}

void HubBirth::online(Time now) {
  if (due_) return;
  due_ = now + wait_;
  if (told_) due_ = std::max(*due_, *told_ + kApart);
}

bool HubBirth::take_due(Time now) {
  if (!due_ || now < *due_) return false;
  due_.reset();
  told_ = now;
  return true;
}

void HubBirth::told(Time now) {
  told_ = now;
  if (due_) due_ = std::max(*due_, now + kApart);
}

}  // namespace stillwell::report
