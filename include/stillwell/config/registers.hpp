#pragma once
// Registers and bits: how numbers lie in them, and how few transactions fetch what a gauge needs.

#include "stillwell/config/wiring.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace stillwell::config {

std::optional<Encoding> encoding_of(std::string_view word);
/// How many registers it takes.
int registers_of(Encoding encoding);

/// Items of one table that lie together.
struct Span {
  Table table = Table::input;
  int address = 0;
  int count = 1;  ///< needed, at least 1

  friend bool operator==(const Span&, const Span&) = default;
};

Span span_of(const RegisterNumber& number);
Span span_of(const StatusRegister& status);

/// One read, and whether the gauge's reading is nothing without it.
struct GaugeRead {
  Span span;
  bool needed = false;
};

/// The reads of a gauge, those that are needed first. What is near enough is read in one transaction.
std::vector<GaugeRead> reads_of(const ModbusGauge& gauge);
/// The same, each by itself: for a module that does not let the registers between be read.
std::vector<GaugeRead> reads_apart_of(const ModbusGauge& gauge);

}  // namespace stillwell::config
