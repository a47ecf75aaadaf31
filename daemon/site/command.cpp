#include "stillwell/site/command.hpp"

namespace stillwell {

std::string_view to_word(CommandKind kind) {
  switch (kind) {
    case CommandKind::acknowledge: return "acknowledge";
    case CommandKind::reset: return "reset";
    case CommandKind::mode: return "mode";
    case CommandKind::accept: return "accept";
    case CommandKind::silence: return "silence";
    case CommandKind::shelve: return "shelve";
    case CommandKind::unshelve: return "unshelve";
    case CommandKind::service: return "service";
    case CommandKind::sound_horn: return "sound-horn";
    case CommandKind::prove: return "prove";
    case CommandKind::release: return "release";
  }
  return "";
}

}  // namespace stillwell
