#pragma once
// A position in one of the model's lists. Each list has its own type, so a gauge's place cannot be used to
// find a pump.

#include <compare>
#include <cstddef>
#include <vector>

namespace stillwell {

template <class Tag>
struct Index {
  std::size_t at{0};
  friend constexpr auto operator<=>(const Index&, const Index&) = default;
};

using GaugeIndex = Index<struct GaugeTag>;
using SwitchIndex = Index<struct SwitchTag>;
using ContactIndex = Index<struct ContactTag>;
using TankIndex = Index<struct TankTag>;
using PumpIndex = Index<struct PumpTag>;
using MeterIndex = Index<struct MeterTag>;
using LineIndex = Index<struct LineTag>;

/// What a list says at a place; nothing where it is shorter, as before the first reading.
template <class T>
T at_or_none(const std::vector<T>& list, std::size_t at) {
  return at < list.size() ? list[at] : T{};
}

}  // namespace stillwell
