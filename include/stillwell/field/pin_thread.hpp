#pragma once
// The pins of one board at work: contacts as ordered, switches as they are.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/contact_duty.hpp"
#include "stillwell/field/gpio_chip.hpp"
#include "stillwell/field/line_thread.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

namespace stillwell::field {

class PinThread final : public LineThread {
 public:
  PinThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders,
            std::unique_ptr<PinBank> bank);

 private:
  /// A contact. There is no wire on which a late answer could pass for another, so the two reads of rule 11
  /// have no length to vary; they prove the pin, and nothing behind it.
  struct Output {
    ContactIndex contact;
    std::size_t use = 0;
    ContactDuty duty;
  };
  /// A switch is looked at far more often than it is told: a button must be seen while it is pressed, and the
  /// scan has nothing to learn from a float that has not moved.
  struct Input {
    SwitchIndex input;
    std::size_t use = 0;
    Duration every{};
    std::optional<bool> closed{};
    Instant tell_at{};
    Instant lively_until{};  ///< after a change every look is told, for whoever waits for it to be steady
  };

  [[nodiscard]] bool is_open() const override { return bank_->is_open(); }
  std::optional<std::string> open() override { return bank_->open(uses_); }
  void opened(Instant now) override;
  void failed(Instant now) override;
  Instant turn(Instant now) override;
  [[nodiscard]] LineSample health() const override;

  void take(const StandingOrders& orders, Instant now);
  bool serve(Output& output, Instant now);
  std::optional<bool> read_back(const Output& output);
  bool look(Input& input, Instant now);
  bool count(bool well);

  Board& readings_;
  Orders& standing_;
  std::unique_ptr<PinBank> bank_;
  Duration young_;  ///< what an order to be on is good for
  std::vector<PinUse> uses_;
  std::vector<Output> outputs_;
  std::vector<Input> inputs_;
  Instant expires_{};  ///< of the orders
  Instant look_at_{};
  std::uint64_t insistence_ = 0;
  std::uint64_t answered_ = 0;
  std::uint64_t failed_ = 0;
};

}  // namespace stillwell::field
