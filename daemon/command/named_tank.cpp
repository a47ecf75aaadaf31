#include "stillwell/command/named_tank.hpp"

#include "stillwell/config/near_miss.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

namespace stillwell::command {

Result<TankIndex> tank_named(const Model& model, const std::string& id) {
  const auto found = std::ranges::find(model.tanks, id, &Tank::id);
  if (found != model.tanks.end()) return TankIndex{static_cast<std::size_t>(found - model.tanks.begin())};
  std::vector<std::string_view> ids(model.tanks.size());
  std::ranges::transform(model.tanks, ids.begin(), &Tank::id);
  return Failure{"there is no tank '" + id + "'; " + config::suggestion(id, ids)};
}

std::string source_of(const std::filesystem::path& file, const config::Configuration& configuration) {
  return file.filename().string() + ", CRC-32 " + configuration.checksum;
}

}  // namespace stillwell::command
