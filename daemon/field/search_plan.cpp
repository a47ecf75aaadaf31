#include "stillwell/field/search_plan.hpp"

#include "stillwell/field/probe.hpp"

#include <charconv>

namespace stillwell::field {
namespace {

using config::Parity;
using config::SerialSpeed;

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ')
    text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ')
    text.remove_suffix(1);
  return text;
}

Result<SerialSpeed> parse_speed(std::string_view text) {
  auto speed = config::parse_serial_speed(text);
  if (!speed) return speed;
  const char letter = text[text.size() - 2];
  const bool is_frame = (speed->data_bits == 7 || speed->data_bits == 8) &&
                        std::string_view{"NEO"}.find(letter) != std::string_view::npos &&
                        (speed->stop_bits == 1 || speed->stop_bits == 2);
  if (!is_frame || text[text.size() - 4] != ' ')
    return Failure{"'" + std::string{text} + "' is not a speed and a character such as 9600 8N1"};
  return speed;
}

char letter_of(Parity parity) {
  switch (parity) {
    case Parity::none: return 'N';
    case Parity::even: return 'E';
    case Parity::odd: return 'O';
  }
  return 'N';
}

std::optional<int> whole_number(std::string_view text) {
  int number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size()) return {};
  return number;
}

}  // namespace

std::vector<SerialSpeed> usual_speeds() {
  return {{9600, 8, Parity::none, 1},  {19200, 8, Parity::even, 1},  {9600, 8, Parity::even, 1},
          {19200, 8, Parity::none, 1}, {115200, 8, Parity::none, 1}, {38400, 8, Parity::none, 1},
          {57600, 8, Parity::none, 1}, {4800, 8, Parity::none, 1},   {2400, 8, Parity::none, 1}};
}

Result<std::vector<SerialSpeed>> parse_speeds(std::string_view text) {
  std::vector<SerialSpeed> speeds;
  while (true) {
    const std::size_t comma = text.find(',');
    const auto speed = parse_speed(trimmed(text.substr(0, comma)));
    if (!speed) return Failure{speed.error()};
    speeds.push_back(*speed);
    if (comma == std::string_view::npos) return speeds;
    text.remove_prefix(comma + 1);
  }
}

Result<StationRange> parse_stations(std::string_view text) {
  const std::size_t dash = text.find('-');
  const auto first = whole_number(text.substr(0, dash));
  const auto last = dash == std::string_view::npos ? first : whole_number(text.substr(dash + 1));
  if (!first || !last || *first < kFirstStation || *last > kLastStation || *first > *last)
    return Failure{"'" + std::string{text} + "' is no range of stations; expected 1-247, or a part of it"};
  return StationRange{*first, *last};
}

std::string speed_text(const SerialSpeed& speed) {
  return std::to_string(speed.baud) + " " + std::to_string(speed.data_bits) + letter_of(speed.parity) +
         std::to_string(speed.stop_bits);
}

bool is_same_speed(const SerialSpeed& one, const SerialSpeed& other) {
  return speed_text(one) == speed_text(other);
}

bool carries_modbus(const SerialSpeed& speed) {
  constexpr int kRtuBits = 8;  // Modbus over Serial Line V1.02, 2.5.1
  return speed.data_bits == kRtuBits;
}

Duration ask_time(const SearchPlan& plan, const SerialSpeed& speed) {
  const int bytes = static_cast<int>(kProbeBytes + kProbeReplyBytes);
  return plan.reply_within + config::time_of(bytes, speed.baud) + config::least_quiet(speed.baud);
}

Duration time_left(const SearchPlan& plan, const SearchPlace& place) {
  Duration left{0};
  for (std::size_t at = 0; at < plan.speeds.size(); ++at) {
    const SerialSpeed& speed = plan.speeds[at];
    if (!place.asking && at >= place.speed) left += plan.listen;
    if (!carries_modbus(speed) || (place.asking && at < place.speed)) continue;
    const int done = place.asking && at == place.speed ? place.stations_done : 0;
    left += ask_time(plan, speed) * (plan.stations.count() - done);
  }
  return left;
}

}  // namespace stillwell::field
