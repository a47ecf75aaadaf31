#pragma once
// The orchard with every alarm that it can have by itself, and with feedback on its lift pump. No alarm
// waits, so that a test sees what it provokes.

#include "support/bench_site.hpp"

namespace support {

inline void add_alarm(stillwell::Model& model, stillwell::AlarmSubject of, const std::string& id,
                      stillwell::AlarmKind kind) {
  stillwell::Alarm alarm;
  alarm.id = id + "/" + std::string{to_word(kind)};
  alarm.of = of;
  alarm.kind = kind;
  model.alarms.push_back(std::move(alarm));
}

inline stillwell::Model alarmed_orchard() {
  using namespace stillwell;
  using namespace std::chrono_literals;
  Model model = working_orchard();
  for (Gauge& gauge : model.gauges)
    gauge.line = LineIndex{0};
  for (Contact& contact : model.contacts)
    contact.line = LineIndex{0};
  model.switches = {{"lift-running", {.stale_after = 3s}}};
  model.pumps[0].feedback = Feedback{SwitchIndex{0}, 3s};
  for (std::size_t at = 0; at < model.pumps.size(); ++at) {
    for (const AlarmKind kind :
         {AlarmKind::tripped, AlarmKind::locked_out, AlarmKind::stuck_on, AlarmKind::no_feedback})
      add_alarm(model, PumpIndex{at}, model.pumps[at].id, kind);
    add_alarm(model, model.pumps[at].contact, model.contacts[at].id, AlarmKind::contact_unreachable);
  }
  add_alarm(model, LineIndex{0}, "shed", AlarmKind::line_down);
  add_alarm(model, Gateway{}, "orchard", AlarmKind::state_file);
  model.alarms.back().latch = true;
  add_alarm(model, Gateway{}, "orchard", AlarmKind::clock);
  return model;
}

/// The clock is trusted and the line answers.
inline SiteBench alarmed_site(stillwell::Model model = alarmed_orchard()) {
  SiteBench bench{std::move(model)};
  bench.image.local = stillwell::LocalTime{20000, 600};
  bench.image.readings.lines = {stillwell::LineSample{true, 100, 0}};
  return bench;
}

/// The same, past rest and power-up, with the lift pump running.
inline SiteBench alarmed_lifting(stillwell::Model model = alarmed_orchard()) {
  SiteBench bench = alarmed_site(std::move(model));
  bench.levels = {0.9, 1.5};
  bench.scan_for(std::chrono::seconds{30});
  bench.levels[0] = 1.2;
  bench.scan_for(std::chrono::seconds{10});
  return bench;
}

}  // namespace support
