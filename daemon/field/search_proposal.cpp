#include "stillwell/field/search_proposal.hpp"

#include "stillwell/field/registers.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace stillwell::field {
namespace {

// What a tank's sensor may say (common practice, no source). The high half of a floating-point number of
// metres lies above, when it is taken for millimetres.
constexpr double kLeastDistance = 0.02;
constexpr double kMostDistance = 12.0;
/// Water that nobody disturbs moves a reading by no more in two seconds (common practice, no source).
constexpr double kCalm = 0.1;

constexpr std::array<std::pair<FrameValue, std::string_view>, 7> kValueWords{{{FrameValue::u8, "u8"},
                                                                              {FrameValue::u16be, "u16be"},
                                                                              {FrameValue::u16le, "u16le"},
                                                                              {FrameValue::u24be, "u24be"},
                                                                              {FrameValue::u24le, "u24le"},
                                                                              {FrameValue::u32be, "u32be"},
                                                                              {FrameValue::u32le, "u32le"}}};
constexpr std::array<std::pair<FrameSum, std::string_view>, 4> kSumWords{{{FrameSum::none, "none"},
                                                                          {FrameSum::low_byte, "low-byte"},
                                                                          {FrameSum::exclusive_or, "xor"},
                                                                          {FrameSum::crc_16, "crc-16"}}};

template <class Enum, std::size_t N>
std::string word_for(const std::array<std::pair<Enum, std::string_view>, N>& words, Enum wanted) {
  for (const auto& [value, word] : words)
    if (value == wanted) return std::string{word};
  return {};
}

/// Single quotes: nothing in it means anything to YAML but the quote itself (YAML 1.2, 7.3.2).
std::string yaml_quoted(std::string_view text) {
  std::string quoted = "'";
  for (const char c : text)
    quoted += c == '\'' ? std::string{"''"} : std::string{c};
  return quoted + "'";
}

std::string yaml_byte(std::uint8_t byte) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  return std::string{"0x"} + kHex[byte >> 4U] + kHex[byte & 0xFU];
}

std::string frame_yaml(const FrameFormat& format) {
  if (format.kind == FrameKind::text)
    return "{ kind: text, pattern: " + yaml_quoted(format.pattern) + ", unit: mm }";
  std::string yaml = "{ kind: binary, start: " + yaml_byte(format.start);
  if (format.lead > 0) yaml += ", lead: " + std::to_string(format.lead);
  yaml += ", value: " + word_for(kValueWords, format.value);
  if (format.trail > 0) yaml += ", trail: " + std::to_string(format.trail);
  return yaml + ", sum: " + word_for(kSumWords, format.sum) + ", unit: mm }";
}

std::string line_yaml(const ProposedLine& line, std::string_view carries) {
  if (!line.is_new) return {};
  return "lines:\n  " + line.id + ": { port: " + yaml_quoted(line.port) +
         ", speed: " + speed_text(line.speed) + ", carries: " + std::string{carries} + " }\n";
}

/// Any tank will do until it is known: a site has one.
constexpr std::string_view kGaugeHead =
    "gauges:\n  new-gauge:   # a guess: give it to a tank, then check it with `stillwell sound new-gauge`\n"
    "    line: ";

std::string_view table_word(config::Table table) {
  return table == config::Table::input ? "input" : "holding";
}

/// Higher is likelier; 0: they cannot be one. What is in two registers is not so by chance.
int likelihood(const std::vector<double>& metres, bool is_pair) {
  const auto is_plausible = [](double value) { return value >= kLeastDistance && value <= kMostDistance; };
  if (metres.empty() || !std::ranges::all_of(metres, is_plausible)) return 0;
  const auto [least, most] = std::ranges::minmax_element(metres);
  const double spread = *most - *least;
  const bool moves = spread > 0.0 && spread <= kCalm;
  return 1 + (moves ? 4 : 0) + (is_pair ? 2 : 0) + (spread <= kCalm ? 1 : 0);
}

std::vector<double> metres_in(const RegisterSeen& seen) {
  constexpr double kMillimetre = 0.001;
  std::vector<double> metres;
  for (const std::uint16_t value : seen.values)
    metres.push_back(value * kMillimetre);
  return metres;
}

/// Of two registers that lie together; empty when they do not, or once held no number.
std::vector<double> metres_in(const RegisterSeen& first, const RegisterSeen& second, config::Encoding as) {
  if (second.table != first.table || second.address != first.address + 1) return {};
  std::vector<double> metres;
  for (std::size_t at = 0; at < std::min(first.values.size(), second.values.size()); ++at) {
    const std::array<std::uint16_t, 2> words{first.values[at], second.values[at]};
    const auto number = decode(as, words);
    if (!number) return {};
    metres.push_back(*number);
  }
  return metres;
}

std::string_view encoding_word(config::Encoding as) {
  if (as == config::Encoding::f32be) return "f32be, unit: m";
  return as == config::Encoding::f32le ? "f32le, unit: m" : "u16, unit: mm";
}

}  // namespace

int spread_of(const RegisterSeen& seen) {
  if (seen.values.empty()) return 0;
  const auto [least, most] = std::ranges::minmax_element(seen.values);
  return *most - *least;
}

std::optional<LikelyNumber> likeliest_number(const std::vector<RegisterSeen>& registers) {
  std::optional<LikelyNumber> best;
  int most = 0;
  const auto consider = [&](const RegisterSeen& seen, config::Encoding as, int score) {
    if (score <= most) return;
    most = score;
    best = LikelyNumber{.table = seen.table, .address = seen.address, .as = as};
  };
  for (std::size_t at = 0; at < registers.size(); ++at) {
    const RegisterSeen& seen = registers[at];
    consider(seen, config::Encoding::u16, likelihood(metres_in(seen), false));
    if (at + 1 == registers.size()) break;
    for (const config::Encoding as : {config::Encoding::f32be, config::Encoding::f32le})
      consider(seen, as, likelihood(metres_in(seen, registers[at + 1], as), true));
  }
  return best;
}

std::string proposal_for(const ProposedLine& line, const FrameFormat& format) {
  return line_yaml(line, "range-frames") + std::string{kGaugeHead} + line.id +
         "\n    frame: " + frame_yaml(format) + "\n";
}

std::string proposal_for(const ProposedLine& line, const StationSeen& station) {
  const auto number = likeliest_number(station.registers);
  if (!number) return {};
  return line_yaml(line, "modbus") + std::string{kGaugeHead} + line.id +
         "\n    station: " + std::to_string(station.station) +
         "\n    distance: { table: " + std::string{table_word(number->table)} +
         ", address: " + std::to_string(number->address) + ", as: " + std::string{encoding_word(number->as)} +
         " }\n";
}

std::string proposal_of(const SearchResult& result, ProposedLine line) {
  for (const SpeedSeen& seen : result.speeds) {
    line.speed = seen.speed;
    if (seen.heard.format) return proposal_for(line, *seen.heard.format);
    for (const StationSeen& station : seen.stations) {
      auto yaml = proposal_for(line, station);
      if (!yaml.empty()) return yaml;
    }
  }
  return {};
}

}  // namespace stillwell::field
