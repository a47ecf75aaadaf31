#pragma once
// Where soundings come from: the daemon that reads the gauge anyway, or, where none does, the line itself,
// held while they are taken.

#include "stillwell/config/configuration.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/reading/sample.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace stillwell::command {

class SoundingSource {
 public:
  SoundingSource() = default;
  virtual ~SoundingSource() = default;
  SoundingSource(const SoundingSource&) = delete;
  SoundingSource& operator=(const SoundingSource&) = delete;

  /// The newest sample of each gauge, in the order in which they were asked for. The failure is a sentence.
  virtual Result<std::vector<GaugeSample>> newest() = 0;
  /// Why nothing comes from a line, each a sentence; empty when all are open.
  [[nodiscard]] virtual std::vector<std::string> troubles() = 0;
};

struct OpenedSource {
  std::unique_ptr<SoundingSource> source;  ///< null: not to be had
  bool through_daemon = false;
  bool is_held = false;            ///< another program holds the line: refused
  std::string why;                 ///< a sentence, when there is none
  std::vector<std::string> notes;  ///< what a person should know beside the result, each a sentence
};

/// Rule 20: a gauge that a living daemon reads is read through it. Otherwise the lines are opened, so that
/// neither a daemon nor a search can use them meanwhile; nothing is written but the reads of these gauges.
OpenedSource open_source(const config::Configuration& configuration, const std::filesystem::path& socket,
                         const std::vector<GaugeIndex>& gauges);

}  // namespace stillwell::command
