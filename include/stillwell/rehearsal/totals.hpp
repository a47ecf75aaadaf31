#pragma once
// What a rehearsal came to, for each tank, pump and alarm.

#include "stillwell/rehearsal/rehearse.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::rehearsal {

struct TankTotals {
  std::string id;
  std::optional<Metres> lowest;  ///< of what was known; as it was judged, before smoothing
  std::optional<Metres> highest;
  Duration unknown{0};  ///< level bad
};

struct PumpTotals {
  std::string id;
  std::uint64_t starts = 0;
  Duration ran{0};
  std::optional<Litres> moved;               ///< by the nameplate
  std::map<std::string, std::size_t> trips;  ///< by cause
  std::size_t lock_outs = 0;
};

struct AlarmTotals {
  std::string id;
  std::size_t raised = 0;
  /// Not how long it called: nobody acknowledges in a rehearsal, and the water may have gone back by itself.
  Duration stood{0};
};

class Totals {
 public:
  explicit Totals(const Model& model);
  /// Each scan, in order.
  void add(const Scanned& scanned);

  [[nodiscard]] const std::vector<TankTotals>& tanks() const { return tanks_; }
  [[nodiscard]] const std::vector<PumpTotals>& pumps() const { return pumps_; }
  [[nodiscard]] const std::vector<AlarmTotals>& alarms() const { return alarms_; }

 private:
  const Model& model_;
  std::vector<TankTotals> tanks_;
  std::vector<PumpTotals> pumps_;
  std::vector<AlarmTotals> alarms_;
  std::vector<bool> stands_;
};

}  // namespace stillwell::rehearsal
