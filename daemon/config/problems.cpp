#include "stillwell/config/problems.hpp"

#include <algorithm>
#include <tuple>

namespace stillwell::config {
namespace {

constexpr std::size_t kMostTold = 100;  // nobody mends more in one go

}  // namespace

std::string Problem::to_text() const {
  std::string place = file;
  if (line > 0) place += ":" + std::to_string(line) + ":" + std::to_string(column);
  return place + ": " + (path.empty() ? "" : path + ": ") + text;
}

void Problems::add(Place place, std::string path, std::string text) {
  found_.push_back({file_, place.line, place.column, std::move(path), std::move(text)});
}

std::vector<Problem> Problems::sorted() const {
  std::vector<Problem> all = found_;
  std::stable_sort(all.begin(), all.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
  });
  if (all.size() > kMostTold) {
    const std::size_t rest = all.size() - kMostTold;
    all.resize(kMostTold);
    all.push_back({file_, 0, 0, {}, "and " + std::to_string(rest) + " more problems"});
  }
  return all;
}

}  // namespace stillwell::config
