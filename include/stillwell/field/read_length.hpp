#pragma once
// How much to read. A Modbus reply does not say which address it answers, so a late reply to one question
// looks like the answer to the next one of the same size. Therefore every read differs in size from the one
// before it of the same thing and from the one before it of the same station (rule 11): one to two registers,
// or one to two bytes of bits, more than needed. Pure.

#include "stillwell/config/registers.hpp"

namespace stillwell::field {

using config::Span;

/// Data bytes of a reply with so many items: the size by which replies are told apart.
int reply_bytes(config::Table table, int count);

class ReadLength {
 public:
  explicit ReadLength(const Span& span);

  /// How many items to ask for, when the station's last reply from this table had `avoid` data bytes.
  [[nodiscard]] int choose(int avoid) const;

  // What became of a read of so many items.
  void answered(int count);
  /// Exception 2 or 3: the map ends before. True when a shorter read is left to try.
  bool refused(int count);
  /// Some modules stay silent instead. Three times in a row, while the plain read is answered in between,
  /// tell that from lost replies.
  void unanswered(int count);

 private:
  [[nodiscard]] int count_of(int step) const;

  Span span_;
  int most_steps_;
  int last_bytes_ = 0;
  int strikes_ = 0;
  bool plain_answered_ = false;  ///< since the last strike
};

}  // namespace stillwell::field
