#include "stillwell/config/build.hpp"
#include "stillwell/site/guards.hpp"

#include <algorithm>
#include <map>

namespace stillwell::config {
namespace {

/// Which keys of the file already have a contact, by its position.
using Owners = std::map<std::size_t, Spot>;

Owners contacts_of_pumps(const Build& build) {
  Owners owners;
  for (const Checked& pump : build.root.named("pumps")) {
    for (const std::string_view key : {"contact", "isolator"}) {
      if (const auto contact = build.refer(pump, key, "contacts")) owners.emplace(*contact, pump.at(key));
    }
  }
  return owners;
}

/// A horn on a pump's contact would start the pump: a contact has one owner.
void take_contact(Build& build, const Checked& section, Owners& owners, Annunciator& annunciator) {
  const auto position = build.refer(section, "contact", "contacts");
  if (!position) return;
  annunciator.contact = {*position};
  annunciator.contact_within = confirmed_within(build.out.wiring.contacts.at(*position));
  const auto [owner, is_new] = owners.emplace(*position, section.at("contact"));
  if (is_new) return;
  build.tell(section.at("contact"), "this contact is taken by " + owner->second.path + " in line " +
                                        std::to_string(owner->second.place.line) +
                                        "; one contact belongs to one pump or one annunciator");
}

/// A float that rises would silence the horn that it sounds, and a button must not stop a pump.
void take_switch(Build& build, const Checked& section, Annunciator& annunciator) {
  const auto position = build.refer(section, "silence_switch", "switches");
  if (!position) return;
  const Checked& input = build.root.named("switches")[*position];
  annunciator.silence_switch =
      SilenceSwitch{.input = {*position}, .debounce = value_or<Duration>(input, "debounce")};
  if (!guards_a_pump(build.out.model, SwitchIndex{*position})) return;
  build.tell(section.at("silence_switch"),
             "switch '" + input.id +
                 "' guards a pump: what it says would silence the horn too; expected a button of its own");
}

Annunciator build_annunciator(Build& build, const Checked& section, Owners& owners) {
  Annunciator annunciator;
  annunciator.id = section.id;
  take_contact(build, section, owners, annunciator);
  take_switch(build, section, annunciator);
  for (const Value& word : section.list("sounds_for"))
    annunciator.sounds_for.push_back(priority_of(std::get<std::string>(word)));
  if (!section.has("sounds_for")) annunciator.sounds_for = {Priority::high, Priority::medium};
  annunciator.again_after = section.get<Duration>("again_after");
  if (section.id == "all")
    build.tell(section.spot, "'all' means every annunciator in commands; choose another id");
  return annunciator;
}

/// A key that nothing acts on may be a safeguard that somebody believes in.
void refuse_idle_debounce(Build& build) {
  const std::vector<Checked>& switches = build.root.named("switches");
  for (std::size_t at = 0; at < switches.size(); ++at) {
    const bool is_button =
        std::ranges::any_of(build.out.model.annunciators, [at](const Annunciator& annunciator) {
          return annunciator.silence_switch && annunciator.silence_switch->input.at == at;
        });
    if (is_button || !switches[at].has("debounce")) continue;
    build.tell(switches[at].at("debounce"), "has no meaning: no annunciator has this as its silence_switch");
  }
}

/// ISA-18.2 / IEC 62682, re-alarm: one that was acknowledged and still stands when its horn sounds again is a
/// new alarm, so that it is acknowledged anew, and told to whoever does not hear the horn.
void set_re_alarm(Build& build, const Annunciator& annunciator) {
  if (!annunciator.again_after) return;
  for (Alarm& alarm : build.out.model.alarms) {
    if (std::ranges::find(annunciator.sounds_for, alarm.priority) == annunciator.sounds_for.end()) continue;
    alarm.again_after =
        std::min(alarm.again_after.value_or(*annunciator.again_after), *annunciator.again_after);
  }
}

}  // namespace

void build_annunciators(Build& build) {
  Owners owners = contacts_of_pumps(build);
  for (const Checked& section : build.root.named("annunciators"))
    build.out.model.annunciators.push_back(build_annunciator(build, section, owners));
  for (const Annunciator& annunciator : build.out.model.annunciators)
    set_re_alarm(build, annunciator);
  refuse_idle_debounce(build);
}

}  // namespace stillwell::config
