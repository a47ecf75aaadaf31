#include "stillwell/field/searcher.hpp"

#include "stillwell/field/clock.hpp"

#include <algorithm>
#include <array>
#include <thread>

namespace stillwell::field {
namespace {

/// As much as is looked at of what is heard: a fast sensor repeats itself long before.
constexpr std::size_t kMostHeard = 2048;
/// Between two readings of the same register, so that what moves is seen to.
constexpr Duration kRoundEvery = std::chrono::milliseconds{350};
constexpr int kIllegalFunction = 1;  // Modbus Application Protocol V1.1b3, 7

}  // namespace

SearchResult Searcher::run() {
  SearchResult result;
  for (std::size_t at = 0; at < plan_.speeds.size() && port_.is_open() && !may_stop(result); ++at)
    listen_at(at, result);
  for (SpeedSeen& seen : result.speeds) {
    if (!port_.is_open() || may_stop(result)) break;
    if (!carries_modbus(seen.speed) || !tune(seen.speed, result)) continue;
    const auto place =
        std::ranges::find_if(plan_.speeds, [&](const auto& s) { return is_same_speed(s, seen.speed); });
    ask_at(seen, static_cast<std::size_t>(place - plan_.speeds.begin()));
  }
  if (!port_.is_open()) result.trouble = line_.port + " was lost in the middle of the search";
  return result;
}

bool Searcher::may_stop(const SearchResult& result) const {
  return !plan_.all && std::ranges::any_of(result.speeds, &SpeedSeen::is_recognized);
}

bool Searcher::tune(const config::SerialSpeed& speed, SearchResult& result) {
  line_.speed = speed.baud;
  line_.data_bits = speed.data_bits;
  line_.parity = speed.parity;
  line_.stop_bits = speed.stop_bits;
  const auto refused = port_.retune(line_);
  if (refused) result.skipped.push_back(*refused);
  return !refused;
}

void Searcher::listen_at(std::size_t place, SearchResult& result) {
  tell_({.speed = place, .asking = false, .stations_done = 0});
  const config::SerialSpeed& speed = plan_.speeds[place];
  if (!tune(speed, result)) return;
  result.speeds.push_back({.speed = speed, .heard = recognize(hear(plan_.listen)), .stations = {}});
}

/// Everything that comes within the limit.
std::vector<std::uint8_t> Searcher::hear(Duration limit) {
  std::vector<std::uint8_t> heard;
  const Instant until = now() + limit;
  for (Instant at = now(); at < until && port_.is_open(); at = now()) {
    std::array<std::uint8_t, 256> room{};
    const auto bytes = port_.read(room, until - at);
    const std::size_t fits = std::min(bytes.size(), kMostHeard - heard.size());
    heard.insert(heard.end(), bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(fits));
  }
  return heard;
}

void Searcher::discard(Duration quiet) {
  const Instant give_up = now() + plan_.reply_within;  // a babbling line is asked all the same
  std::array<std::uint8_t, 256> room{};
  while (now() < give_up && port_.is_open() && !port_.read(room, quiet).empty()) {
  }
}

ProbeAnswer Searcher::ask(const Probe& probe) {
  const config::SerialSpeed speed{line_.speed, line_.data_bits, line_.parity, line_.stop_bits};
  discard(config::least_quiet(speed.baud));
  if (!port_.is_open()) return {};
  port_.write(probe);
  std::vector<std::uint8_t> bytes;
  ProbeAnswer answer;
  const Instant until = now() + ask_time(plan_, speed);
  for (Instant at = now(); at < until && port_.is_open(); at = now()) {
    std::array<std::uint8_t, 256> room{};
    const auto piece = port_.read(room, until - at);
    bytes.insert(bytes.end(), piece.begin(), piece.end());
    answer = look_at(probe, bytes);
    const bool is_reply = answer.kind == ProbeOutcome::value || answer.kind == ProbeOutcome::exception;
    if (is_reply || bytes.size() > kMostHeard) break;
  }
  return answer;
}

void Searcher::ask_at(SpeedSeen& seen, std::size_t place) {
  seen.was_asked = true;
  for (int station = plan_.stations.first; station <= plan_.stations.last && port_.is_open(); ++station) {
    tell_({.speed = place, .asking = true, .stations_done = station - plan_.stations.first});
    // The late reply of another station may have hidden its own.
    if (!ask_station(seen, station)) ask_station(seen, station);
  }
}

/// False when another station answered.
bool Searcher::ask_station(SpeedSeen& seen, int station) {
  const ProbeAnswer answer = ask(probe_of(station, config::Table::holding, 0));
  if (answer.is_echoed) ++seen.echoes;
  if (answer.kind == ProbeOutcome::noise) ++seen.noises;
  const bool is_reply = answer.kind == ProbeOutcome::value || answer.kind == ProbeOutcome::exception;
  if (is_reply && !is_from_gateway(answer.exception)) found(seen, station, answer);
  return !is_reply || answer.station == station;
}

void Searcher::found(SpeedSeen& seen, int asked, const ProbeAnswer& answer) {
  const bool is_known =
      std::ranges::find(seen.stations, answer.station, &StationSeen::station) != seen.stations.end();
  if (is_known) return;
  StationSeen station{.station = answer.station, .is_late = answer.station != asked, .registers = {}};
  if (answer.kind == ProbeOutcome::exception) station.exception = answer.exception;
  // A reply does not say of which register it is: those of a slow station are waited for.
  constexpr int kPatienceWithSlow = 4;
  const Duration usual = plan_.reply_within;
  if (station.is_late) plan_.reply_within = usual * kPatienceWithSlow;
  station.registers = registers_of(answer.station);
  plan_.reply_within = usual;
  seen.stations.push_back(std::move(station));
}

std::vector<RegisterSeen> Searcher::registers_of(int station) {
  std::vector<RegisterSeen> registers;
  for (const config::Table table : {config::Table::input, config::Table::holding}) {
    for (int address = 0; address < kRegisters && port_.is_open(); ++address) {
      const ProbeAnswer answer = ask(probe_of(station, table, address));
      const bool is_its = answer.station == station;
      if (is_its && answer.kind == ProbeOutcome::value)
        registers.push_back({.table = table, .address = address, .values = {answer.word}});
      if (is_its && answer.exception == kIllegalFunction) break;  // it has no such table
      // A reply does not say which register it is of: one that is late must not pass for the next one's.
      if (answer.kind == ProbeOutcome::silence || answer.kind == ProbeOutcome::noise)
        discard(plan_.reply_within);
    }
  }
  for (int round = 1; round < kRounds && !registers.empty() && port_.is_open(); ++round) {
    const Instant next = now() + kRoundEvery;
    read_round(station, registers);
    std::this_thread::sleep_until(std::chrono::steady_clock::time_point{next.time_since_epoch()});
  }
  return registers;
}

void Searcher::read_round(int station, std::vector<RegisterSeen>& registers) {
  for (RegisterSeen& one : registers) {
    const ProbeAnswer answer = ask(probe_of(station, one.table, one.address));
    if (answer.kind == ProbeOutcome::value && answer.station == station) {
      one.values.push_back(answer.word);
    } else {
      discard(plan_.reply_within);
    }
  }
}

}  // namespace stillwell::field
