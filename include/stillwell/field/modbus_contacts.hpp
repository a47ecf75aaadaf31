#pragma once
// The contacts of one Modbus line: writes them as ordered, reads them back, and says only what was read.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/board.hpp"
#include "stillwell/field/contact_duty.hpp"
#include "stillwell/field/exchange.hpp"
#include "stillwell/field/orders.hpp"

#include <cstdint>
#include <optional>
#include <vector>

namespace stillwell::field {

class ModbusContacts {
 public:
  enum class Served : std::uint8_t {
    nothing,
    duty,  ///< what was ordered
    rest,  ///< routine, or an attempt that failed: let something else on the line have its turn
  };

  ModbusContacts(const config::Wiring& wiring, LineIndex line, Exchange& exchange, Board& board,
                 Instant start);

  void take(const StandingOrders& orders, Instant now);

  /// One step of one contact. With `urgent_only`: only of one whose off has not been tried yet.
  Served serve(Instant now, bool urgent_only);
  [[nodiscard]] std::optional<Instant> wake(Instant now);

  /// The line is gone: nothing is known about any contact.
  void fail_all(Instant now);

 private:
  struct Post {
    ContactIndex contact;
    config::ContactWiring wired;
    VariedSpan back;
    ContactDuty duty;
  };

  Served write(Post& post);
  Served verify(Post& post);
  Served refresh(Post& post);
  std::optional<bool> read_back(Post& post, Reason& fault);
  void fail(const Post& post, Reason reason, Instant at);

  Exchange& exchange_;
  Board& board_;
  std::vector<Post> posts_;
  std::size_t next_ = 0;  ///< whose turn it is among equals
  std::uint64_t insistence_ = 0;
};

}  // namespace stillwell::field
