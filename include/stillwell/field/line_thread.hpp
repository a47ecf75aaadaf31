#pragma once
// The thread of one line. What a line carries decides what turn() does; opening, closing, waiting and the
// heartbeat are the same for all.

#include "stillwell/field/backoff.hpp"
#include "stillwell/field/board.hpp"
#include "stillwell/field/orders.hpp"
#include "stillwell/quantity/time.hpp"

#include <atomic>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

namespace stillwell::field {

class LineThread {
 public:
  LineThread(LineIndex line, Board& board, Orders& orders) : line_{line}, board_{board}, orders_{orders} {}
  virtual ~LineThread() = default;
  LineThread(const LineThread&) = delete;
  LineThread& operator=(const LineThread&) = delete;

  /// Runs until the orders say stop; comes back within one transaction of that.
  void run();

  /// Moves while the thread is alive.
  [[nodiscard]] std::uint64_t heartbeat() const { return heartbeat_.load(std::memory_order_relaxed); }

 protected:
  [[nodiscard]] virtual bool is_open() const = 0;
  virtual std::optional<std::string> open() = 0;
  virtual void opened(Instant now) = 0;
  /// Everything on the line has failed; called at once when the port is lost and after every vain attempt to
  /// open it.
  virtual void failed(Instant now) = 0;
  /// Does one thing, and says until when there is nothing to do.
  virtual Instant turn(Instant now) = 0;
  [[nodiscard]] virtual LineSample health() const = 0;

 private:
  Instant reopen(Instant now);
  void tell();

  LineIndex line_;
  Board& board_;
  Orders& orders_;
  std::atomic<std::uint64_t> heartbeat_{0};
  Backoff reopening_{std::chrono::milliseconds{500}, std::chrono::seconds{5}};
  Instant open_at_{};
  std::uint64_t answered_at_open_ = 0;
};

}  // namespace stillwell::field
