#include "stillwell/reading/quality.hpp"

namespace stillwell {

std::string_view to_word(Quality quality) {
  switch (quality) {
    case Quality::good: return "good";
    case Quality::uncertain: return "uncertain";
    case Quality::bad: return "bad";
  }
  return "bad";
}

std::string_view to_word(Reason reason) {
  switch (reason) {
    case Reason::none: return "none";
    case Reason::stale: return "stale";
    case Reason::no_answer: return "no-answer";
    case Reason::bad_frame: return "bad-frame";
    case Reason::blanking: return "blanking";
    case Reason::beyond_reach: return "beyond-reach";
    case Reason::outside_span: return "outside-span";
    case Reason::jump: return "jump";
    case Reason::frozen: return "frozen";
    case Reason::noisy: return "noisy";
    case Reason::disagree: return "disagree";
    case Reason::uncorrected: return "uncorrected";
    case Reason::out_of_service: return "out-of-service";
    case Reason::starting: return "starting";
  }
  return "starting";
}

}  // namespace stillwell
