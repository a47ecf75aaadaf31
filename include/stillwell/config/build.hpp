#pragma once
// From the checked file to the model and the wiring, one builder a section. A builder tells what the grammar
// cannot see: how keys of different sections fit together. It makes one entry for every id, also for a faulty
// one, so that positions in the model are positions in the file.

#include "stillwell/config/checked.hpp"
#include "stillwell/config/configuration.hpp"
#include "stillwell/field/frames/format.hpp"
#include "stillwell/tank/outline.hpp"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace stillwell::config {

/// What a set says for its members; empty where it was wrong.
struct SetLevels {
  std::optional<Metres> start{};
  std::optional<Metres> stop{};
};

/// What the builders share. They run in the order of this file.
struct Build {
  const Checked& root;
  Problems& problems;
  Configuration& out;
  std::filesystem::path folder{};   ///< of the configuration; other files are named relative to it
  std::vector<bool> sound_tanks{};  ///< by TankIndex: its geometry is known, so set points can become levels
  std::vector<Metres> lowest_told{};    ///< by TankIndex: below this level its gauge tells no difference
  std::vector<SetLevels> set_levels{};  ///< by set
  bool sets_are_clear = true;           ///< false: a pump may be meant that no set names

  void tell(const Spot& spot, std::string text) { problems.add(spot.place, spot.path, std::move(text)); }

  /// The position of the id that stands under a key; empty when it is absent or was wrong.
  [[nodiscard]] std::optional<std::size_t> refer(const Checked& section, std::string_view key,
                                                 std::string_view to) const;
};

void build_site(Build& build);
void build_broker(Build& build);
void build_notify(Build& build);
void build_log_levels(Build& build);
void build_lines(Build& build);
void build_gauges(Build& build);
void build_switches(Build& build);
void build_meters(Build& build);
void build_contacts(Build& build);
void build_tanks(Build& build);
void build_alarms(Build& build);
/// Before the pumps, for the levels of a set are those of its members.
void build_pump_sets(Build& build);
void build_pumps(Build& build);
void build_annunciators(Build& build);
void build_trust(Build& build);
/// After the tanks: set points are levels of theirs.
void build_marks(Build& build);
void check_names(Build& build);
/// Every meter is read for one motor.
void check_meters(Build& build);
/// A switch that shows the motor or the water of one pump shows that of no other.
void check_witnesses(Build& build);
/// No two things may stand on one register or coil.
void check_claims(Build& build);

/// A key with a default that the grammar fills in; `none` only where the value was wrong.
template <class T>
T value_or(const Checked& section, std::string_view key, T none = {}) {
  return section.get<T>(key).value_or(none);
}

/// What a reading may be old: as written, or three periods, and at most 60 s. Told when it ends before the
/// next one.
Duration stale_after(Build& build, const Checked& section, Duration every);

/// Tells when something with registers hangs on a line of range frames, or a frame on a Modbus line.
void expect_carries(Build& build, const Checked& section, LineIndex line, Carries needed);

/// The board that is named here, as a line; each becomes one at its first mention.
LineIndex board_of(Build& build, const Checked& section);

/// How long a contact may take to be confirmed before it counts as unreachable.
Duration confirmed_within(const ContactWiring& contact);

Priority priority_of(const std::string& word);

/// The key under which a gauge's number stands: distance, depth or pressure. A frame counts as a distance.
std::string_view number_key(const Checked& gauge);
/// What a gauge reads of its station, from all of its keys.
ModbusGauge build_modbus_gauge(Build& build, const Checked& section);
/// Whether a meter shows watts or amperes; empty when what it is worth was wrong.
std::optional<LoadKind> load_kind_of(const Checked& meter);
/// The number of a meter, in watts or amperes.
RegisterNumber build_load(Build& build, const Checked& section, LoadKind kind);
field::FrameFormat build_frame(Build& build, const Checked& section);

/// Of a tank that is kept by floats: which of them hangs lower depends on the pump that keeps it. Empty when
/// that cannot be known.
std::optional<TankFloats> build_floats(Build& build, const Checked& tank);

/// A switch whose broken wire must look like this (rule 7), and what relies on it: "a trip".
std::optional<SwitchIndex> switch_at(Build& build, const Checked& section, std::string_view key,
                                     bool broken_is_on, std::string_view what);

/// A tank's inside. Without a shape when that was wrong, or when it needs the full line (capacity).
struct Inside {
  ShapePtr shape;
  Metres gauge_floor{0.0};           ///< height of the floor under the gauge above the lowest point
  std::optional<Outline> outline{};  ///< of its walls; empty where nobody said what they are
};

/// From `shape` and its dimensions, in a tank or in a section of a stack.
Inside build_shape(Build& build, const Checked& section);
/// All that `holds` can say.
Inside build_inside(Build& build, const Checked& holds);

/// The level of a set point, told when it lies outside the tank or where its gauge cannot see it. Empty when
/// it is absent or cannot be known.
std::optional<Metres> level_at(Build& build, const Checked& section, std::string_view key, TankIndex tank);

}  // namespace stillwell::config
