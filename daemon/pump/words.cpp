#include "stillwell/pump/pump.hpp"

namespace stillwell {

std::string_view to_word(Duty duty) {
  return duty == Duty::fill ? "fill" : "drain";
}
std::string_view to_word(Mode mode) {
  switch (mode) {
    case Mode::automatic: return "auto";
    case Mode::hand: return "hand";
    case Mode::off: return "off";
  }
  return "off";
}
std::string_view to_word(Drive drive) {
  return drive == Drive::pump ? "pump" : "valve";
}

std::string_view to_word(PumpState state) {
  switch (state) {
    case PumpState::stopped: return "stopped";
    case PumpState::waiting: return "waiting";
    case PumpState::starting: return "starting";
    case PumpState::running: return "running";
    case PumpState::tripped: return "tripped";
    case PumpState::locked_out: return "locked-out";
    case PumpState::out_of_service: return "out-of-service";
  }
  return "locked-out";
}

}  // namespace stillwell
