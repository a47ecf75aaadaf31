#pragma once
// A search of a serial line: listens, asks, and only ever reads. The port is ours alone for as long as the
// object lives.

#include "stillwell/field/frames/recognize.hpp"
#include "stillwell/field/probe.hpp"
#include "stillwell/field/search_plan.hpp"
#include "stillwell/field/serial.hpp"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace stillwell::field {

/// Readings of one register, one after another.
struct RegisterSeen {
  config::Table table = config::Table::input;
  int address = 0;
  std::vector<std::uint16_t> values;
};

struct StationSeen {
  int station = 0;
  bool is_late = false;            ///< its first reply came when the next station had been asked
  std::optional<int> exception{};  ///< of its first reply
  std::vector<RegisterSeen> registers;
};

/// What was met at one speed.
struct SpeedSeen {
  config::SerialSpeed speed;
  Heard heard;
  bool was_asked = false;
  int echoes = 0;  ///< questions that came back
  int noises = 0;  ///< answers of which nothing can be made
  std::vector<StationSeen> stations;

  [[nodiscard]] bool is_recognized() const { return heard.format.has_value() || !stations.empty(); }
};

struct SearchResult {
  std::string trouble;  ///< why it ended early, a sentence; empty when it did not
  std::vector<SpeedSeen> speeds;
  std::vector<std::string> skipped;  ///< speeds that the port does not take, each a sentence
};

class Searcher {
 public:
  using Tell = std::function<void(const SearchPlace&)>;

  /// `tell` is called before each listening and each station.
  Searcher(config::LineWiring line, SearchPlan plan, Tell tell)
      : line_{std::move(line)}, plan_{std::move(plan)}, tell_{std::move(tell)} {}

  /// The failure in words, when the port cannot be opened or is held by another.
  std::optional<std::string> open() { return port_.open(line_); }
  SearchResult run();

  /// The first registers of a table that are read of a station that was found, and how often.
  static constexpr int kRegisters = 8;
  static constexpr int kRounds = 6;

 private:
  bool tune(const config::SerialSpeed& speed, SearchResult& result);
  void listen_at(std::size_t place, SearchResult& result);
  void ask_at(SpeedSeen& seen, std::size_t place);
  bool ask_station(SpeedSeen& seen, int station);
  void found(SpeedSeen& seen, int asked, const ProbeAnswer& answer);
  ProbeAnswer ask(const Probe& probe);
  void discard(Duration quiet);
  std::vector<std::uint8_t> hear(Duration limit);
  std::vector<RegisterSeen> registers_of(int station);
  void read_round(int station, std::vector<RegisterSeen>& registers);
  [[nodiscard]] bool may_stop(const SearchResult& result) const;

  config::LineWiring line_;
  SearchPlan plan_;
  Tell tell_;
  SerialPort port_;
};

}  // namespace stillwell::field
