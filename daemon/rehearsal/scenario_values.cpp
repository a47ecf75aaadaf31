#include "scenario_values.hpp"

namespace stillwell::rehearsal {
namespace {

template <class T>
Result<T> not_negative(Result<T> parsed) {
  if (parsed && !(*parsed >= T{})) return Failure{"it cannot be negative"};
  return parsed;
}

}  // namespace

Result<Metres> some_length(std::string_view text) {
  return not_negative(parse_length(text));
}
Result<LitresPerSecond> some_flow(std::string_view text) {
  return not_negative(parse_flow(text));
}
Result<Duration> some_time(std::string_view text) {
  return not_negative(parse_duration(text));
}
Result<Load> some_load(std::string_view text) {
  auto load = parse_load(text);
  if (load && std::visit([](const auto& one) { return one.value() < 0.0; }, *load))
    return Failure{"it cannot be negative"};
  return load;
}
Result<Duration> some_cycle(std::string_view text) {
  auto parsed = parse_duration(text);
  if (parsed && *parsed < std::chrono::seconds{1}) return Failure{"a cycle lasts at least 1 s"};
  return parsed;
}
Result<std::string> any_text(std::string_view text) {
  return std::string{text};
}
Result<std::uint64_t> whole_number(std::string_view text) {
  const auto number = parse_number(text);
  constexpr double kMost = 9007199254740992.0;  // the largest up to which a double counts every whole number
  if (!number) return Failure{number.error()};
  if (!(*number >= 0.0 && *number <= kMost) ||
      *number != static_cast<double>(static_cast<std::uint64_t>(*number))) {
    return Failure{"'" + std::string{text} + "' is no whole number from 0 up"};
  }
  return static_cast<std::uint64_t>(*number);
}

}  // namespace stillwell::rehearsal
