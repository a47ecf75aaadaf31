#include "stillwell/config/motor_load.hpp"

#include "stillwell/reading/load_unit.hpp"

namespace stillwell::config {

Result<MotorLoad> load_for(LoadKind shown, const Load& written) {
  const LoadKind kind = std::holds_alternative<Watts>(written) ? LoadKind::power : LoadKind::current;
  if (kind != shown) {
    return Failure{"in " + std::string(unit_of(kind)) + ", and the meter shows " +
                   std::string(unit_of(shown)) + "; expected the meter's unit"};
  }
  return MotorLoad{std::visit([](const auto& load) { return load.value(); }, written)};
}

}  // namespace stillwell::config
