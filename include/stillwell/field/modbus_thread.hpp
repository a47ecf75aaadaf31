#pragma once
// A Modbus line at work: contacts first, then whichever gauge or switch is due.

#include "stillwell/config/wiring.hpp"
#include "stillwell/field/line_thread.hpp"
#include "stillwell/field/modbus_contacts.hpp"
#include "stillwell/field/modbus_polls.hpp"

namespace stillwell::field {

class ModbusThread final : public LineThread {
 public:
  ModbusThread(const config::Wiring& wiring, LineIndex line, Board& board, Orders& orders);

 private:
  [[nodiscard]] bool is_open() const override { return line_.is_open(); }
  std::optional<std::string> open() override { return line_.open(); }
  void opened(Instant now) override;
  void failed(Instant now) override;
  Instant turn(Instant now) override;
  [[nodiscard]] LineSample health() const override;

  bool work(Instant now);

  ModbusLine line_;
  Exchange exchange_;
  ModbusPolls polls_;
  ModbusContacts contacts_;
  Orders& standing_;
  bool owes_a_poll_ = false;  ///< a contact had its turn for nothing urgent
};

}  // namespace stillwell::field
