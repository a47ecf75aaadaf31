#include "stillwell/reading/press.hpp"

namespace stillwell {

bool follow(PressMemory& memory, const SwitchState& button, Duration debounce) {
  if (!button.on || !*button.on) {
    memory = {.released = button.on.has_value(), .on = {}};
    return false;
  }
  if (!memory.released) return false;  // found pressed, or this press was told
  if (!memory.on) memory.on = button.at;
  if (button.at - *memory.on < debounce) return false;
  memory = {};
  return true;
}

}  // namespace stillwell
