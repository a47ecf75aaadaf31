#include "stillwell/field/gpio_chip.hpp"

#include <algorithm>
#include <cerrno>
#include <string_view>
#include <system_error>

#include <fcntl.h>
#include <linux/gpio.h>
#include <sys/ioctl.h>
#include <unistd.h>

namespace stillwell::field {
namespace {

constexpr std::string_view kConsumer = "stillwell";  // shown by the kernel to whoever wants the pin, too

std::string words_for(int error) {
  switch (error) {
    case ENOENT: return "there is no such device; `ls /dev/gpiochip*` shows those that there are";
    case EACCES:
    case EPERM: return "permission denied; the daemon's user must be in the device's group";
    case EBUSY: return "somebody else holds the pin";
    case ENOTTY: return "it is not a GPIO chip, or the kernel is older than 5.10";
    case EINVAL: return "the board has no such pin, or cannot do what is asked of it (pull)";
    default: return std::generic_category().message(error);
  }
}

std::uint64_t flags_of(const PinUse& use) {
  std::uint64_t flags = use.is_output ? GPIO_V2_LINE_FLAG_OUTPUT : GPIO_V2_LINE_FLAG_INPUT;
  if (use.pin.active_low) flags |= GPIO_V2_LINE_FLAG_ACTIVE_LOW;
  if (use.pin.pull == config::Pull::up) flags |= GPIO_V2_LINE_FLAG_BIAS_PULL_UP;
  if (use.pin.pull == config::Pull::down) flags |= GPIO_V2_LINE_FLAG_BIAS_PULL_DOWN;
  return flags;
}

}  // namespace

std::optional<std::string> GpioChip::open(const std::vector<PinUse>& uses) {
  close();
  const int chip = ::open(path_.c_str(), O_RDWR | O_CLOEXEC);
  if (chip < 0) return "cannot open " + path_ + ": " + words_for(errno);
  std::optional<std::string> failure;
  for (std::size_t n = 0; n < uses.size() && !failure; ++n)
    failure = take(chip, uses[n]);
  ::close(chip);  // the pins stay ours by their own descriptors
  open_ = true;
  if (failure) close();
  return failure;
}

/// One request a pin, so that an error names the pin it is about.
std::optional<std::string> GpioChip::take(int chip, const PinUse& use) {
  gpio_v2_line_request request{};
  request.offsets[0] = static_cast<std::uint32_t>(use.pin.at);
  request.num_lines = 1;
  std::copy(kConsumer.begin(), kConsumer.end(), std::begin(request.consumer));
  // Without a value given an output is inactive, and that is off, also with active: low.
  request.config.flags = flags_of(use);
  if (::ioctl(chip, GPIO_V2_GET_LINE_IOCTL, &request) != 0)
    return "cannot use pin " + std::to_string(use.pin.at) + " of " + path_ + ": " + words_for(errno);
  pins_.push_back(request.fd);
  return std::nullopt;
}

void GpioChip::close() {
  for (const int pin : pins_)
    ::close(pin);
  pins_.clear();
  open_ = false;
}

std::optional<bool> GpioChip::get(std::size_t use) {
  gpio_v2_line_values values{.bits = 0, .mask = 1};
  if (use >= pins_.size() || ::ioctl(pins_[use], GPIO_V2_LINE_GET_VALUES_IOCTL, &values) != 0) return {};
  return (values.bits & 1U) != 0;
}

bool GpioChip::set(std::size_t use, bool on) {
  gpio_v2_line_values values{.bits = on ? 1U : 0U, .mask = 1};
  return use < pins_.size() && ::ioctl(pins_[use], GPIO_V2_LINE_SET_VALUES_IOCTL, &values) == 0;
}

}  // namespace stillwell::field
