#include "stillwell/pump/scales.hpp"

#include <algorithm>
#include <set>

namespace stillwell {

std::vector<Objection> Scales::worst_first() {
  std::sort(objections_.begin(), objections_.end(), [](const Objection& a, const Objection& b) {
    return a.verdict != b.verdict ? a.verdict > b.verdict : a.cause < b.cause;
  });
  std::set<Cause> said;
  std::erase_if(objections_, [&](const Objection& one) { return !said.insert(one.cause).second; });
  return std::move(objections_);
}

}  // namespace stillwell
