// Findings about what guards a pump.
#include "stillwell/config/findings.hpp"
#include "stillwell/site/meters.hpp"

#include <algorithm>
#include <array>
#include <optional>

namespace stillwell::config {
namespace {

/// What still stops a pump when nobody can reach its relay.
std::string what_remains(const ContactWiring& contact) {
  if (contact.refresh) return "the relay's drop-out timer (" + to_text(contact.refresh->hold) + ")";
  return contact.accepted_risk ? "nothing" : "the hard-wired cutoff that fails_off: wired declares";
}

/// How a pin reads when nothing is connected to it; empty: as it likes.
std::optional<bool> open_level(Pull pull) {
  if (pull == Pull::none) return std::nullopt;
  return pull == Pull::up;
}

/// A switch of a pump, and what its broken wire would do unseen.
struct Relied {
  std::optional<SwitchIndex> input;
  std::string_view role;
  std::string_view unseen;
};

std::array<Relied, 7> relied_on(const Pump& pump) {
  const auto flow = pump.dry_run.flow ? std::optional{pump.dry_run.flow->input} : std::nullopt;
  const auto high = pump.floats ? pump.floats->high : std::nullopt;
  const bool fills_by_floats = pump.floats && pump.duty == Duty::fill;
  const auto full = fills_by_floats ? std::optional{pump.floats->upper} : std::nullopt;
  constexpr std::string_view kBlind = "the trip would be blind";
  return {Relied{pump.float_trip, "trip switch", kBlind},
          Relied{pump.source_float, "trip switch", kBlind},
          Relied{high, "trip switch", kBlind},
          Relied{full, "stop float", kBlind},
          Relied{flow, "flow switch", "a dry run would pass for flow"},
          Relied{pump.selector.off, "selector switch", "the panel's off would not be heard"},
          Relied{pump.selector.hand, "selector switch", "the pump would be in hand and nobody there"}};
}

constexpr std::string_view on_or_off(bool on) {
  return on ? "on" : "off";
}

/// A pin with its pull, other than a module's input, may read high when its wire is open.
void find_blind_pin(const Relied& relied, const Switch& input, Pull pull, std::string_view of,
                    Findings& findings) {
  const auto level = open_level(pull);
  const bool wanted = *input.rules.broken_is_on;
  if (level && (*level != input.rules.active_low) == wanted) return;
  const std::string reads = !level ? "without a pull an open pin reads as it likes"
                                   : std::string("its open pin is pulled ") + (*level ? "up" : "down") +
                                         " and reads as " + std::string(on_or_off(!wanted));
  findings.warn("broken-wire-unseen", {"pumps", of},
                std::string(relied.role) + " " + input.id +
                    " says broken: " + std::string(on_or_off(wanted)) + ", and " + reads + ": " +
                    std::string(relied.unseen) + ". It is wired normally " + (wanted ? "closed" : "open") +
                    ", to ground, with pull: up and active: " + (wanted ? "high" : "low") +
                    " (common practice, no source)");
}

void find_blind_switch(const Relied& relied, const Switch& input, std::string_view of, Findings& findings) {
  const bool wanted = *input.rules.broken_is_on;
  if (input.rules.active_low == wanted) return;
  findings.warn(
      "broken-wire-unseen", {"pumps", of},
      std::string(relied.role) + " " + input.id + " says broken: " + std::string(on_or_off(wanted)) +
          ", and with active: " + (wanted ? "high" : "low") + " an open wire reads as " +
          std::string(on_or_off(!wanted)) + " on an ordinary input: " + std::string(relied.unseen) +
          ". It is wired normally " + (wanted ? "closed" : "open") +
          " (common practice, no source): use such a contact with active: " + (wanted ? "low" : "high") +
          ", or be sure that the module turns the bit round");
}

/// The stop float of a drain pump: an open wire that reads as water would run the pump dry.
void find_wet_wire(const Switch& input, const std::optional<Pin>& pin, std::string_view of,
                   Findings& findings) {
  const auto level = pin ? open_level(pin->pull) : std::optional{false};
  if (level && *level == input.rules.active_low) return;
  findings.warn("broken-wire-unseen", {"pumps", of},
                "stop float " + input.id +
                    " says broken: off, and an open wire reads as on, or as it likes: the pump would run on, "
                    "and dry. Use a float that closes when it rises, with active: high, on an ordinary input "
                    "(common practice, no source); a pin needs pull: down with it");
}

}  // namespace

bool is_seen_by(const Configuration& configuration, LineIndex line, TankIndex tank) {
  if (const auto& floats = configuration.model.tanks.at(tank.at).floats) {
    const auto hangs = [&](SwitchIndex input) {
      return configuration.model.switches.at(input.at).line == line;
    };
    return hangs(floats->lower) || hangs(floats->upper) || (floats->high && hangs(*floats->high));
  }
  const auto& gauges = configuration.model.tanks.at(tank.at).gauges;
  return std::all_of(gauges.begin(), gauges.end(), [&](const TankGauge& one) {
    return configuration.wiring.gauges.at(one.gauge.at).line == line;
  });
}

void find_dry_run_guard_missing(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const bool is_guarded = pump.source_below || pump.source_float || pump.dry_run.flow || pump.dry_run.power;
    if (is_guarded || pump.drive == Drive::valve) continue;
    if (pump.duty == Duty::drain) {
      findings.note("dry-run-guard-missing", {"pumps", pump.id},
                    pump.floats ? "only its stop float keeps it from running dry. Use a second guard (common "
                                  "practice, no source): add a source_float or dry_run.flow"
                                : "only stop_at (" + to_text(pump.stop_level) +
                                      ") keeps it from running dry. Use a second guard (common practice, no "
                                      "source): add dry_run.source_below below stop_at, or a source_float");
      continue;
    }
    findings.warn(
        "dry-run-guard-missing", {"pumps", pump.id},
        "nothing stops it when tank " + configuration.model.tanks.at(pump.source->at).id +
            " runs empty. Running dry destroys a pump in seconds to minutes (common practice, no source): "
            "add dry_run.source_below, better a source_float too");
  }
}

void find_power_below_rating(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const auto meter = watt_meter_of(configuration.model, pump);
    if (!meter || !pump.motor) continue;
    const Watts below{pump.dry_run.power->below.value()};
    if (below < pump.motor->rated) continue;
    findings.warn("power-below-beyond-rating", {"pumps", pump.id},
                  "dry_run.power.below is " + fixed(below.value(), 0) + " W, and its motor is rated at " +
                      fixed(pump.motor->rated.value(), 0) +
                      " W: a motor that is not overloaded takes hardly more, so the guard would stop a pump "
                      "that moves water. Set below between what meter " +
                      configuration.model.meters.at(meter->at).id +
                      " shows with water and without (common practice, no source)");
  }
}

void find_contact_without_dropout(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const ContactWiring& contact = configuration.wiring.contacts.at(pump.contact.at);
    if (!contact.accepted_risk) continue;
    findings.note(
        "contact-without-dropout", {"contacts", contact.id},
        "fails_off: accepted-risk: when its line or this computer dies while it is on, the relay stays on "
        "and "
        "nothing stops the pump. Use a module whose relay drops out unless refreshed (refresh), or a "
        "hard-wired cutoff (fails_off: wired) (common practice, no source)");
  }
}

void find_broken_wire_unseen(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    for (const Relied& relied : relied_on(pump)) {
      if (!relied.input) continue;
      const Switch& input = configuration.model.switches.at(relied.input->at);
      if (!input.rules.broken_is_on) continue;
      const auto& pin = configuration.wiring.switches.at(relied.input->at).pin;
      if (pin) {
        find_blind_pin(relied, input, pin->pull, pump.id, findings);
      } else {
        find_blind_switch(relied, input, pump.id, findings);
      }
    }
    if (!pump.floats || pump.duty == Duty::fill) continue;
    const SwitchIndex stop = pump.floats->lower;
    find_wet_wire(configuration.model.switches.at(stop.at), configuration.wiring.switches.at(stop.at).pin,
                  pump.id, findings);
  }
}

void find_sensing_and_contact_on_one_line(const Configuration& configuration, Findings& findings) {
  for (const Pump& pump : configuration.model.pumps) {
    const ContactWiring& contact = configuration.wiring.contacts.at(pump.contact.at);
    const bool with_tank = is_seen_by(configuration, contact.line, pump.tank);
    const bool with_source = pump.source && is_seen_by(configuration, contact.line, *pump.source);
    const bool with_receiver = pump.receiver && is_seen_by(configuration, contact.line, *pump.receiver);
    if (!with_tank && !with_source && !with_receiver) continue;
    const std::string line = configuration.wiring.lines.at(contact.line.at).id;
    const std::string text =
        "line " + configuration.wiring.lines.at(contact.line.at).id +
        " carries both its contact and a gauge or float that it depends on: when the line dies, "
        "this program neither sees "
        "the level nor can switch the pump off; what remains is " +
        what_remains(contact) + ". Sense and switch on separate lines" +
        (contact.refresh ? "" : ", or use a relay that drops out unless refreshed") +
        " (common practice, no source)";
    if (contact.accepted_risk) {
      findings.warn("sensing-and-contact-on-one-line", {"pumps", pump.id}, text);
    } else {
      findings.note("sensing-and-contact-on-one-line", {"pumps", pump.id}, text);
    }
  }
}

}  // namespace stillwell::config
