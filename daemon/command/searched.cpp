#include "stillwell/command/searched.hpp"

#include <algorithm>
#include <array>
#include <ostream>
#include <utility>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using FoundJson = nlohmann::ordered_json;
using field::HeardKind;

constexpr std::array<std::pair<HeardKind, std::string_view>, 6> kHeardWords{{{HeardKind::nothing, "nothing"},
                                                                             {HeardKind::binary, "binary"},
                                                                             {HeardKind::text, "text"},
                                                                             {HeardKind::prose, "prose"},
                                                                             {HeardKind::traffic, "traffic"},
                                                                             {HeardKind::noise, "noise"}}};

std::string word_of(HeardKind kind) {
  for (const auto& [each, word] : kHeardWords)
    if (each == kind) return std::string{word};
  return {};
}

std::string_view word_of(config::Table table) {
  return table == config::Table::input ? "input" : "holding";
}

std::string numbers_text(const std::vector<std::uint32_t>& numbers) {
  constexpr std::size_t kShown = 6;
  std::string text;
  for (std::size_t at = 0; at < numbers.size() && at < kShown; ++at)
    text += (at == 0 ? "" : " ") + std::to_string(numbers[at]);
  return text + (numbers.size() > kShown ? " …" : "");
}

std::string heard_text_of(const field::Heard& heard) {
  const std::string bytes = std::to_string(heard.bytes) + " bytes";
  switch (heard.kind) {
    case HeardKind::nothing: return "nothing is heard";
    case HeardKind::binary:
      return "a sensor that sends by itself: " + std::to_string(heard.counts.size()) +
             " binary frames whose sums are right, " + heard.sample.substr(0, 23) + "\n    numbers " +
             numbers_text(heard.counts);
    case HeardKind::text:
      return "a sensor that sends by itself: lines of text, \"" + heard.sample + "\"\n    numbers " +
             numbers_text(heard.counts);
    case HeardKind::prose:
      return "lines of text that no pattern with one whole number reads: \"" + heard.sample + "\"";
    case HeardKind::traffic:
      return "another program asks Modbus stations on this line; stop it first, or both are disturbed";
    case HeardKind::noise: return "noise: " + bytes + " of which nothing can be made, " + heard.sample;
  }
  return {};
}

bool is_always_zero(const field::RegisterSeen& seen) {
  return std::ranges::all_of(seen.values, [](std::uint16_t value) { return value == 0; });
}

void print_register(const field::RegisterSeen& seen, std::ostream& out) {
  const auto [least, most] = std::ranges::minmax_element(seen.values);
  out << "    " << word_of(seen.table) << " " << seen.address << ": " << *least;
  if (*least != *most) out << " to " << *most << " in " << seen.values.size() << " readings";
  out << "\n";
}

void print_station(const field::StationSeen& station, std::ostream& out) {
  out << "  station " << station.station << " answers";
  if (station.exception)
    out << "; holding register 0: exception " << *station.exception << ", "
        << field::exception_word(*station.exception);
  if (station.is_late) out << "; later than it was waited for (--reply-within)";
  out << "\n";
  std::size_t zeros = 0;
  for (const field::RegisterSeen& seen : station.registers) {
    if (is_always_zero(seen)) {
      ++zeros;
    } else {
      print_register(seen, out);
    }
  }
  if (zeros > 0)
    out << "    " << zeros << (zeros < station.registers.size() ? " more" : "")
        << (zeros == 1 ? " register was" : " registers were") << " 0 all the while\n";
}

void print_asked(const field::SpeedSeen& seen, std::ostream& out) {
  if (seen.echoes > 0)
    out << "  local echo: " << seen.echoes
        << " questions came back verbatim; switch it off at the adapter, or no answer can be believed\n";
  if (seen.noises > 0)
    out << "  " << seen.noises
        << " questions were answered by bytes of which nothing can be made: another speed or parity, two "
           "stations of one address, or a poor line\n";
  for (const field::StationSeen& station : seen.stations)
    print_station(station, out);
  if (seen.stations.empty()) out << "  no station answers\n";
}

FoundJson station_json(const field::StationSeen& station) {
  FoundJson registers = FoundJson::array();
  for (const field::RegisterSeen& seen : station.registers)
    registers.push_back({{"table", word_of(seen.table)},
                         {"address", seen.address},
                         {"values", seen.values},
                         {"spread", field::spread_of(seen)}});
  return {
      {"station", station.station},
      {"late", station.is_late},
      {"exception", station.exception ? FoundJson(*station.exception) : FoundJson(nullptr)},
      {"exception_name", station.exception ? FoundJson(std::string{field::exception_word(*station.exception)})
                                           : FoundJson(nullptr)},
      {"registers", registers}};
}

FoundJson speed_json(const field::SpeedSeen& seen) {
  FoundJson stations = FoundJson::array();
  for (const field::StationSeen& station : seen.stations)
    stations.push_back(station_json(station));
  return {{"speed", field::speed_text(seen.speed)},
          {"heard", word_of(seen.heard.kind)},
          {"bytes", seen.heard.bytes},
          {"sample", seen.heard.sample},
          {"counts", seen.heard.counts},
          {"asked", seen.was_asked},
          {"echoes", seen.echoes},
          {"noises", seen.noises},
          {"stations", stations}};
}

}  // namespace

void print_text(const field::SearchResult& result, const std::string& proposal, std::ostream& out) {
  for (const field::SpeedSeen& seen : result.speeds) {
    const bool was_silent = seen.heard.kind == HeardKind::nothing && !seen.was_asked;
    if (was_silent) continue;
    out << field::speed_text(seen.speed) << ": " << heard_text_of(seen.heard) << "\n";
    if (seen.was_asked) print_asked(seen, out);
  }
  const bool any = std::ranges::any_of(result.speeds, &field::SpeedSeen::is_recognized);
  if (!any)
    out << "Nothing was recognized. A sensor that waits for a byte of its own before it answers is not "
           "looked "
           "for; neither are the wires: try A and B exchanged, and the supply.\n";
  if (!proposal.empty()) out << "Proposed; what the numbers mean is in the manual:\n\n" << proposal << "\n";
}

void print_json(const field::SearchResult& result, const std::string& proposal, std::ostream& out) {
  FoundJson json{{"trouble", result.trouble},
                 {"skipped", result.skipped},
                 {"speeds", FoundJson::array()},
                 {"proposal", proposal}};
  for (const field::SpeedSeen& seen : result.speeds)
    json["speeds"].push_back(speed_json(seen));
  out << json.dump(2, ' ', false, FoundJson::error_handler_t::replace) << '\n';
}

}  // namespace stillwell::command
