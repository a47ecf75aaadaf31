#pragma once
// The course of a rehearsal in so few pieces that it can be drawn, however long it lasts: of each piece the
// lowest and the highest level, and whether a pump ran or an alarm stood in it at all.

#include "stillwell/rehearsal/rehearse.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace stillwell::rehearsal {

struct Reach {
  Metres lowest{};
  Metres highest{};
};

class Trace {
 public:
  /// `lasts` is divided into so many pieces, at least 1.
  Trace(const Model& model, Duration lasts, std::size_t pieces);
  void add(const Scanned& scanned);

  [[nodiscard]] std::size_t pieces() const { return pieces_; }
  /// Empty: not known in all of the piece.
  [[nodiscard]] const std::vector<std::optional<Reach>>& tank(TankIndex tank) const {
    return tanks_[tank.at];
  }
  [[nodiscard]] const std::vector<bool>& pump(PumpIndex pump) const { return pumps_[pump.at]; }
  [[nodiscard]] const std::vector<bool>& alarm(std::size_t alarm) const { return alarms_[alarm]; }

 private:
  void note(std::size_t tank, std::size_t piece, const Level& level);

  Duration lasts_;
  std::size_t pieces_;
  std::vector<std::vector<std::optional<Reach>>> tanks_;
  std::vector<std::optional<Metres>> before_;  ///< of each tank in the last scan: where its line goes on
  std::vector<std::vector<bool>> pumps_;
  std::vector<std::vector<bool>> alarms_;
};

}  // namespace stillwell::rehearsal
