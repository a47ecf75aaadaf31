#include "stillwell/site/event.hpp"

namespace stillwell {

std::string_view to_word(EventKind kind) {
  switch (kind) {
    case EventKind::trip: return "trip";
    case EventKind::lockout: return "lockout";
    case EventKind::start: return "start";
    case EventKind::stop: return "stop";
    case EventKind::alarm: return "alarm";
    case EventKind::command: return "command";
    case EventKind::quality: return "quality";
    case EventKind::service: return "service";
  }
  return "service";
}

}  // namespace stillwell
