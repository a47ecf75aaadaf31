#pragma once
// A whole site on a bench: the hillside orchard with rules that bite, its gauges and contacts played by the
// test. One scan a second.

#include "stillwell/site/kept.hpp"

#include <chrono>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "support/orchard_model.hpp"

namespace support {

/// The orchard with trust rules, pump levels, limits and an alarm delay.
inline stillwell::Model working_orchard() {
  using namespace stillwell;
  using namespace std::chrono_literals;
  Model model = orchard_model();
  for (Gauge& gauge : model.gauges)
    gauge.rules = {.blanking = Metres{0.25}, .reach = Metres{4.5}, .stale_after = 3s, .recover_after = 3};
  for (Alarm& alarm : model.alarms)
    alarm.after = 60s;
  model.alarms[0].clears_at = Metres{0.49};
  for (Pump& pump : model.pumps) {
    pump.start_level = Metres{1.0};
    pump.stop_level = Metres{1.9};
    pump.contact_within = 3s;
    pump.limits = {.on_at_least = 10s, .off_at_least = 20s, .after_power_up = 5s};
  }
  model.pumps[0].source_below = Metres{0.3};
  model.pumps[0].source_clear = Metres{0.5};
  return model;
}

class SiteBench {
 public:
  explicit SiteBench(stillwell::Model site = working_orchard())
      : model{std::move(site)},
        memory{remember_nothing(model)},
        errors(model.gauges.size(), 0.0),
        silent(model.gauges.size(), false),
        deaf(model.contacts.size(), false),
        motors(model.pumps.size()) {
    image.readings.gauges.resize(model.gauges.size());
    image.readings.switches.resize(model.switches.size());
    image.readings.contacts.resize(model.contacts.size());
    levels.assign(model.tanks.size(), 1.5);
  }

  stillwell::Model model;
  stillwell::Memory memory;
  stillwell::InputImage image;
  stillwell::Instant now{std::chrono::hours{1}};
  std::vector<double> levels;               ///< of each tank, in metres, as its gauge would see them
  std::vector<double> errors;               ///< of each gauge, in metres
  std::vector<bool> silent;                 ///< of each gauge: sends nothing at all
  std::vector<bool> deaf;                   ///< of each contact: does not answer
  std::set<std::size_t> mute;               ///< switches that send nothing at all
  std::vector<std::optional<bool>> motors;  ///< of each pump with feedback; empty: follows its contact
  stillwell::Outcome last;
  std::vector<stillwell::Event> story;

  const stillwell::Outcome& scan(stillwell::Duration later = std::chrono::seconds{1}) {
    now += later;
    read();
    last = solve(model, memory, image, now);
    story.insert(story.end(), last.events.begin(), last.events.end());
    image.commands.clear();
    return last;
  }
  void scan_for(stillwell::Duration time) {
    for (const auto end = now + time; now < end;)
      scan();
  }
  stillwell::Answer command(stillwell::CommandKind kind, std::string target, std::string argument = "") {
    image.commands.push_back({++number_, kind, std::move(target), std::move(argument)});
    scan();
    return last.answers.size() == 1 ? last.answers.front() : stillwell::Answer{};
  }
  stillwell::Answer ask(stillwell::Command command) {
    command.number = ++number_;
    image.commands.push_back(std::move(command));
    scan();
    return last.answers.size() == 1 ? last.answers.front() : stillwell::Answer{};
  }
  /// The daemon ends, and another begins after so long; `known`: by a clock that tells how long.
  void restart(stillwell::Duration away, bool known = true) {
    using namespace stillwell;
    Kept kept = keep(model, memory, now);
    kept.since = now;
    now += away;
    memory = remember_nothing(model);
    restore(model, kept, memory, now, known ? std::optional{away} : std::nullopt);
    image.readings.switches.assign(model.switches.size(), {});
    last = {};
  }
  [[nodiscard]] std::size_t place_of(const std::string& alarm) const {
    for (std::size_t at = 0; at < model.alarms.size(); ++at)
      if (model.alarms[at].id == alarm) return at;
    throw std::runtime_error("no alarm is named " + alarm);
  }
  [[nodiscard]] stillwell::AlarmState state_of(const std::string& alarm) const {
    return last.view.alarms.at(place_of(alarm)).state;
  }
  [[nodiscard]] bool on(std::size_t contact) const {
    return last.contacts.at(contact) == stillwell::Order::on;
  }
  [[nodiscard]] std::uint64_t number() const { return number_; }
  /// Events of one kind about one thing.
  [[nodiscard]] std::vector<stillwell::Event> told(stillwell::EventKind kind, const std::string& of) const {
    std::vector<stillwell::Event> found;
    for (const stillwell::Event& event : story)
      if (event.kind == kind && event.of == of) found.push_back(event);
    return found;
  }

 private:
  void read() {
    using namespace stillwell;
    for (std::size_t at = 0; at < model.tanks.size(); ++at) {
      for (const TankGauge& one : model.tanks[at].gauges) {
        if (silent[one.gauge.at]) continue;
        const Metres distance = one.mounting.to_floor - Metres{levels[at] + errors[one.gauge.at]};
        image.readings.gauges[one.gauge.at] = {.at = now, .value = distance, .fault = Reason::none};
      }
    }
    for (std::size_t at = 0; at < image.readings.contacts.size(); ++at) {
      const bool was_on = !last.contacts.empty() && last.contacts[at] == Order::on;
      image.readings.contacts[at] = {now, was_on, Reason::none};
      if (deaf[at]) image.readings.contacts[at] = {now, {}, Reason::no_answer};
    }
    for (std::size_t at = 0; at < model.pumps.size(); ++at) {
      if (!model.pumps[at].feedback || mute.contains(model.pumps[at].feedback->input.at)) continue;
      const std::size_t contact = model.pumps[at].contact.at;
      const bool runs = motors[at].value_or(!last.contacts.empty() && last.contacts[contact] == Order::on);
      image.readings.switches[model.pumps[at].feedback->input.at] = {now, runs, Reason::none};
    }
  }

  std::uint64_t number_ = 0;
};

}  // namespace support
