#pragma once
// The simulated site: water, pumps, contacts and instruments as functions of time, with faults to order.
// Pure: it has no clock and no device of chance but the seed of its scenario; the same calls give the same
// story. Not safe for several threads at once.

#include "stillwell/plant/chance.hpp"
#include "stillwell/plant/fault.hpp"
#include "stillwell/plant/scenario.hpp"
#include "stillwell/plant/water.hpp"
#include "stillwell/site/model.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace stillwell::plant {

/// A contact whose main circuit opened or closed.
struct ContactChange {
  ContactIndex contact;
  bool on = false;
  Duration at{};
};

class Plant {
 public:
  /// The scenario's lists are as long as the model's. Flows are taken as steady for one step, which is small
  /// against the seconds in which a level matters.
  Plant(Model model, Scenario scenario, Duration step = std::chrono::milliseconds{50});

  void advance(Duration span);
  [[nodiscard]] Duration now() const { return now_; }
  [[nodiscard]] const Model& model() const { return model_; }

  // The truth.
  [[nodiscard]] Metres level(TankIndex tank) const { return basins_[tank.at].level(); }
  [[nodiscard]] const Basin& basin(TankIndex tank) const { return basins_[tank.at]; }
  /// Of a valve: open. An isolator is a second contactor in the same supply.
  [[nodiscard]] bool turning(PumpIndex pump) const;
  /// What the pump moved lately; zero while it runs dry.
  [[nodiscard]] LitresPerSecond flow(PumpIndex pump) const { return moved_[pump.at]; }
  /// Whether the contact's main circuit is closed, whatever its coil says.
  [[nodiscard]] bool contactor(ContactIndex contact) const;

  // What the instruments say.
  /// The number of a gauge: a distance or a depth, never negative. Taking it is a reading: the next differs.
  Metres sound(GaugeIndex gauge);
  /// The electrical state of a switch, before active-low.
  [[nodiscard]] bool closed(SwitchIndex input) const;
  /// Of a meter, in its unit; nothing where it hangs in no supply.
  [[nodiscard]] MotorLoad load(MeterIndex meter) const { return loads_[meter.at]; }
  [[nodiscard]] Celsius air() const { return scenario_.air; }
  /// A relay's coil, as its module would truthfully report it.
  [[nodiscard]] bool coil(ContactIndex contact) const { return contacts_[contact.at].coil; }

  // What the wires do to it.
  void write(ContactIndex contact, bool on);
  /// Arms the drop-out timer of a relay: the coil falls when it is not armed again within `span`.
  void hold(ContactIndex contact, Duration span);
  /// What is left on that timer; zero when it has run out.
  [[nodiscard]] Duration held(ContactIndex contact) const;

  // What people do to it.
  void place(TankIndex tank, Metres level) { basins_[tank.at].place(level); }
  void set_inflow(TankIndex tank, LitresPerSecond flow);
  void set_draw(TankIndex tank, LitresPerSecond flow);
  /// Somebody holds a button down for so long, from now.
  void press(SwitchIndex button, Duration held);
  /// Somebody turns a switch of a panel, where it stays.
  void turn(SwitchIndex selector, bool on);
  /// False when there are too many faults already.
  bool order(const Fault& fault);
  void clear(Target target);
  [[nodiscard]] const Fault* fault(Target target, FaultKind kind) const;

  /// The changes since the last call.
  std::vector<ContactChange> take_changes();

 private:
  struct Relay {
    bool coil = false;
    bool was_on = false;               ///< main circuit when last looked at
    std::optional<Duration> drops_at;  ///< only relays with a drop-out timer
  };
  struct Sensor {
    Chance chance;
    std::optional<TankIndex> tank;
    Mounting mounting;
    Metres said{};
    int readings = 0;
  };

  void live(Duration span);
  void run_pump(PumpIndex pump, double seconds);
  void look_at_floats();
  void look_at_contacts();
  void look_at_meters();
  [[nodiscard]] Metres surface(Sensor& sensor) const;
  [[nodiscard]] bool on(SwitchIndex input) const;
  [[nodiscard]] bool way_is_open(const Pump& pump) const;
  [[nodiscard]] bool shows(PumpIndex pump, SwitchIndex input) const;
  [[nodiscard]] bool is_dry(PumpIndex pump) const;

  Model model_;
  Scenario scenario_;
  Duration step_;
  Duration now_{0};
  std::vector<Basin> basins_;
  std::vector<LitresPerSecond> moved_;
  std::vector<Relay> contacts_;
  std::vector<Sensor> sensors_;
  std::vector<char> floats_on_;          ///< in the order of scenario.floats
  std::vector<char> switches_;           ///< on or not, before the wire
  std::vector<Duration> pressed_until_;  ///< of every switch
  std::vector<char> turned_on_;          ///< likewise
  std::vector<MotorLoad> loads_;         ///< what every meter shows
  std::vector<Fault> faults_;
  std::vector<ContactChange> changes_;
};

}  // namespace stillwell::plant
