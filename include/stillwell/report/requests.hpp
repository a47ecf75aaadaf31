#pragma once
// What can be asked over the local socket, one line of JSON each:
//   {"do":"status"}                                          -> the snapshot (report/snapshot.hpp)
//   {"do":"acknowledge","target":"header/low"}               -> {"done":true,"text":"…"}
//   {"do":"reset","target":"lift"}
//   {"do":"mode","target":"lift","argument":"auto"}
//   {"do":"shelve","target":"header/low","for":"2 h","because":"cleaning the tank"}
//   {"do":"service","target":"header","argument":"out"}
//   {"do":"prove","target":"lift","argument":"begin"}        a step of a proof test (site/proof.hpp)
//   {"do":"release"}                                         every pump off until it is reset
//   {"do":"silence"}, {"do":"sound-horn","target":"yard"}    without a target: every annunciator
// Pure: text in, request out.

#include "stillwell/quantity/result.hpp"
#include "stillwell/site/command.hpp"

#include <string>
#include <string_view>
#include <variant>

namespace stillwell::report {

struct StatusRequest {};
using Request = std::variant<StatusRequest, Command>;

/// A request longer than this is refused unread.
inline constexpr std::size_t kLongestRequest = 4096;

/// The failure says what was expected.
Result<Request> parse_request(std::string_view line);

/// {"done":…,"text":…}
std::string to_json(const Answer& answer);
/// The failure shows what is not understood.
Result<Answer> parse_answer(std::string_view line);

}  // namespace stillwell::report
