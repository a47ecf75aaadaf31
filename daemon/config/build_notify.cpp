#include "stillwell/config/build.hpp"

#include <cmath>

namespace stillwell::config {

void build_notify(Build& build) {
  const Checked* section = build.root.part("notify");
  if (section == nullptr) return;
  build.out.notify.emplace();
  Notify& notify = *build.out.notify;
  for (const Value& part : section->list("run"))
    notify.run.push_back(std::get<std::string>(part));
  if (!notify.run.empty() && !notify.run.front().starts_with('/')) {
    build.tell(section->at("run"),
               "'" + notify.run.front() +
                   "' is no absolute path; expected a program such as /usr/local/bin/tell-me, which is found "
                   "without a shell and without PATH");
  }
  for (const Value& word : section->list("for"))
    notify.priorities.push_back(priority_of(std::get<std::string>(word)));
  const double at_most = value_or<PerHour>(*section, "at_most").value();
  if (std::floor(at_most) != at_most) {
    build.tell(section->at("at_most"), "expected a whole number of calls an hour, such as 10/h");
  }
  notify.at_most = static_cast<std::size_t>(at_most);
  notify.within = value_or<Duration>(*section, "within");
}

void build_log_levels(Build& build) {
  const Checked* section = build.root.part("log_levels");
  if (section == nullptr) return;
  build.out.log_levels = LevelLogging{.every = value_or<Duration>(*section, "every"),
                                      .keep = value_or<Duration>(*section, "keep")};
}

}  // namespace stillwell::config
