#include "stillwell/config/build.hpp"

#include <algorithm>

namespace stillwell::config {
namespace {

constexpr std::int64_t kMostUnits = 65535;  // a holding register

int int_of(const Checked& section, std::string_view key) {
  return static_cast<int>(value_or<std::int64_t>(section, key));
}

/// The hold is written as a count of units, so it must be a whole one that fits a register.
Refresh build_refresh(Build& build, const Checked& section) {
  Refresh refresh;
  refresh.address = int_of(section, "address");
  refresh.hold = value_or<Duration>(section, "for");
  refresh.unit = value_or<Duration>(section, "unit");
  if (!section.get<Duration>("for") || refresh.unit <= Duration{0}) return refresh;
  if (refresh.hold % refresh.unit != Duration{0} || refresh.hold / refresh.unit > kMostUnits) {
    build.tell(section.at("for"),
               "expected a whole count, 1 to 65535, of the unit (" + to_text(refresh.unit) + ")");
  }
  return refresh;
}

RegisterOutput build_register(Build& build, const Checked& section) {
  RegisterOutput output;
  output.address = int_of(section, "address");
  output.on = static_cast<std::uint16_t>(value_or<std::int64_t>(section, "on"));
  output.off = static_cast<std::uint16_t>(value_or<std::int64_t>(section, "off"));
  const bool both = section.get<std::int64_t>("on") && section.get<std::int64_t>("off");
  if (both && output.on == output.off) build.tell(section.at("off"), "on and off are the same number");
  return output;
}

Pull to_pull(const std::string& word) {
  if (word == "up") return Pull::up;
  return word == "down" ? Pull::down : Pull::none;
}

/// A pin instead of a bit of a module.
void build_pin(Build& build, const Checked& section, SwitchWiring& wiring) {
  wiring.line = board_of(build, section);
  wiring.pin = Pin{.at = int_of(section, "pin"), .pull = to_pull(value_or<std::string>(section, "pull"))};
}

void build_bit(Build& build, const Checked& section, SwitchWiring& wiring) {
  wiring.line = {build.refer(section, "line", "lines").value_or(0)};
  wiring.station = int_of(section, "station");
  wiring.table = value_or<std::string>(section, "table") == "coil" ? Table::coil : Table::discrete;
  wiring.address = int_of(section, "address");
  expect_carries(build, section, wiring.line, Carries::modbus);
}

ContactWiring build_contact(Build& build, const Checked& section) {
  ContactWiring contact;
  contact.id = section.id;
  contact.every = value_or<Duration>(section, "every");
  contact.accepted_risk = value_or<std::string>(section, "fails_off") == "accepted-risk";
  if (section.has("board")) {
    contact.line = board_of(build, section);
    contact.output =
        Pin{.at = int_of(section, "pin"), .active_low = value_or<std::string>(section, "active") == "low"};
    return contact;
  }
  contact.line = {build.refer(section, "line", "lines").value_or(0)};
  contact.station = int_of(section, "station");
  contact.output = CoilOutput{int_of(section, "coil")};
  if (const Checked* output = section.part("register")) contact.output = build_register(build, *output);
  if (const Checked* refresh = section.part("refresh")) contact.refresh = build_refresh(build, *refresh);
  expect_carries(build, section, contact.line, Carries::modbus);
  return contact;
}

SwitchRules build_rules(Build& build, const Checked& section) {
  SwitchRules rules;
  rules.active_low = value_or<std::string>(section, "active") == "low";
  if (const auto broken = section.get<std::string>("broken")) rules.broken_is_on = *broken == "on";
  rules.stale_after = stale_after(build, section, value_or<Duration>(section, "every"));
  return rules;
}

}  // namespace

void build_switches(Build& build) {
  for (const Checked& section : build.root.named("switches")) {
    SwitchWiring wiring;
    wiring.every = value_or<Duration>(section, "every");
    if (section.has("board"))
      build_pin(build, section, wiring);
    else
      build_bit(build, section, wiring);
    build.out.wiring.switches.push_back(wiring);
    build.out.model.switches.push_back({section.id, build_rules(build, section), wiring.line});
  }
}

Duration confirmed_within(const ContactWiring& contact) {
  constexpr Duration kLeast = std::chrono::seconds{2};
  constexpr Duration kMost = std::chrono::seconds{60};
  return std::clamp(contact.every * 3, kLeast, kMost);
}

void build_contacts(Build& build) {
  for (const Checked& section : build.root.named("contacts")) {
    build.out.wiring.contacts.push_back(build_contact(build, section));
    build.out.model.contacts.push_back({section.id, build.out.wiring.contacts.back().line});
  }
}

}  // namespace stillwell::config
