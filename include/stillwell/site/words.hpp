#pragma once
// Phrases and numbers that every story of the site shares.

#include "stillwell/site/event.hpp"
#include "stillwell/tank/tank.hpp"

#include <string>

namespace stillwell {

/// The name that people gave, or else the id.
std::string name_of(const std::string& name, const std::string& id);
/// "1.203 m (47.8 %)", or why there is no number.
std::string describe(const Tank& tank, const Level& level);

/// A tenth of a millimetre: finer than any sensor, and without the noise of binary fractions.
double rounded(Metres level);
double tenths(double value);
/// Only while the level can be used.
void add_level(Event& event, const std::string& name, const Level& level);

}  // namespace stillwell
