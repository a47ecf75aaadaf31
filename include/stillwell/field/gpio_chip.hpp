#pragma once
// Pins of the computer itself, through the kernel's GPIO character device (linux/gpio.h, uAPI v2, since Linux
// 5.10). Every call is one ioctl and waits for nothing.

#include "stillwell/config/wiring.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stillwell::field {

/// One pin and what it is used for.
struct PinUse {
  config::Pin pin;
  bool is_output = false;
};

/// Some pins that are held together; each by its position in the list that open() was given.
class PinBank {
 public:
  PinBank() = default;
  virtual ~PinBank() = default;
  PinBank(const PinBank&) = delete;
  PinBank& operator=(const PinBank&) = delete;

  /// Takes every pin, or none. Outputs are off from the first moment. On failure the reason, for a person.
  virtual std::optional<std::string> open(const std::vector<PinUse>& uses) = 0;
  virtual void close() = 0;
  [[nodiscard]] virtual bool is_open() const = 0;

  /// Of an output: what it is driven to. Empty when the bank failed.
  virtual std::optional<bool> get(std::size_t use) = 0;
  /// False when it failed.
  virtual bool set(std::size_t use, bool on) = 0;
};

class GpioChip final : public PinBank {
 public:
  explicit GpioChip(std::string path) : path_{std::move(path)} {}
  ~GpioChip() override { GpioChip::close(); }

  std::optional<std::string> open(const std::vector<PinUse>& uses) override;
  /// Gives the pins back. At what level they then are is up to the hardware.
  void close() override;
  [[nodiscard]] bool is_open() const override { return open_; }
  std::optional<bool> get(std::size_t use) override;
  bool set(std::size_t use, bool on) override;

 private:
  std::optional<std::string> take(int chip, const PinUse& use);

  std::string path_;
  std::vector<int> pins_;  ///< a descriptor of the kernel for each, in the order of the uses
  bool open_ = false;
};

}  // namespace stillwell::field
