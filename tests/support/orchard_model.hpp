#pragma once
// The hillside orchard as a small hand-made model, and views of it, for tests that need no configuration
// file.

#include "stillwell/site/solve.hpp"

#include <chrono>

namespace support {

/// header (2.45 m, 5 m² of surface) filled by `lift` from cistern, cistern filled by `bore`; alarms
/// header/low, header/high, cistern/low, cistern/unwell; one line, `shed`.
stillwell::Model orchard_model();
/// With a nameplate and a meter for each pump: of the lift in watts, of the bore in amperes.
stillwell::Model orchard_with_meters();

inline constexpr stillwell::Instant kSomeInstant{std::chrono::hours{5}};
/// 2026-03-01T04:12:07.250Z
stillwell::Stamp some_stamp();

/// Everything good and at rest: header 1.742 m, cistern 1.2 m, no alarm, both pumps stopped.
stillwell::View calm_view(const stillwell::Model& model);
/// The same with every figure of the accounts known: the header rises by 3.4 ± 0.4 mm/min, 17 L/min, and is
/// full in about three and a half hours.
stillwell::View busy_view(const stillwell::Model& model);
/// An outcome with the calm view, solved at kSomeInstant.
stillwell::Outcome calm_outcome(const stillwell::Model& model);

/// What a tank's view becomes at a level, or with a gauge that went bad.
stillwell::TankView tank_at(const stillwell::Tank& tank, stillwell::Metres level);
stillwell::TankView tank_gone(const stillwell::TankView& before, stillwell::Reason reason);

}  // namespace support
