#include "stillwell/service/line_watch.hpp"

namespace stillwell::service {

std::vector<Event> LineWatch::changes(const Model& model, const std::vector<std::string>& troubles) {
  last_.resize(model.lines.size());
  std::vector<Event> events;
  for (std::size_t at = 0; at < model.lines.size() && at < troubles.size(); ++at) {
    const std::string& trouble = troubles[at];
    if (trouble == last_[at]) continue;
    last_[at] = trouble;
    const std::string news = trouble.empty() ? " is open again." : ": " + trouble;
    events.push_back({.kind = EventKind::service,
                      .of = model.lines[at].id,
                      .cause = trouble.empty() ? "line-open" : "line-down",
                      .text = "line " + model.lines[at].id + news,
                      .values = {}});
  }
  return events;
}

}  // namespace stillwell::service
