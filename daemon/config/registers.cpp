#include "stillwell/config/registers.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace stillwell::config {
namespace {

struct EncodingRow {
  std::string_view word;
  Encoding encoding;
};
constexpr std::array kEncodingRows{
    EncodingRow{"u16", Encoding::u16},     EncodingRow{"i16", Encoding::i16},
    EncodingRow{"u32be", Encoding::u32be}, EncodingRow{"u32le", Encoding::u32le},
    EncodingRow{"i32be", Encoding::i32be}, EncodingRow{"i32le", Encoding::i32le},
    EncodingRow{"f32be", Encoding::f32be}, EncodingRow{"f32le", Encoding::f32le},
    EncodingRow{"f32bs", Encoding::f32bs}, EncodingRow{"f32ls", Encoding::f32ls},
};

/// Every register costs two characters of wire, another transaction about twenty: up to here reading the gap
/// is the cheaper way.
constexpr int kLongestSpan = 16;

int end_of(const Span& span) {
  return span.address + span.count;
}

/// All that a gauge asks for, each by itself, from the lowest address up.
std::vector<GaugeRead> wanted_by(const ModbusGauge& gauge) {
  std::vector<GaugeRead> wanted{{.span = span_of(gauge.number), .needed = true}};
  if (gauge.status) wanted.push_back({.span = span_of(*gauge.status), .needed = true});
  for (const auto& companion : {gauge.air, gauge.humidity, gauge.water}) {
    if (companion) wanted.push_back({.span = span_of(*companion), .needed = false});
  }
  std::sort(wanted.begin(), wanted.end(), [](const GaugeRead& a, const GaugeRead& b) {
    return std::tie(a.span.table, a.span.address) < std::tie(b.span.table, b.span.address);
  });
  return wanted;
}

std::vector<GaugeRead> needed_first(std::vector<GaugeRead> reads) {
  std::stable_partition(reads.begin(), reads.end(), [](const GaugeRead& read) { return read.needed; });
  return reads;
}

}  // namespace

std::optional<Encoding> encoding_of(std::string_view word) {
  for (const EncodingRow& row : kEncodingRows) {
    if (row.word == word) return row.encoding;
  }
  return {};
}

int registers_of(Encoding encoding) {
  return encoding == Encoding::u16 || encoding == Encoding::i16 ? 1 : 2;
}

Span span_of(const RegisterNumber& number) {
  return {.table = number.table, .address = number.address, .count = registers_of(number.as)};
}

Span span_of(const StatusRegister& status) {
  return {.table = status.table, .address = status.address, .count = registers_of(status.as)};
}

std::vector<GaugeRead> reads_apart_of(const ModbusGauge& gauge) {
  return needed_first(wanted_by(gauge));
}

std::vector<GaugeRead> reads_of(const ModbusGauge& gauge) {
  std::vector<GaugeRead> reads;
  for (const GaugeRead& next : wanted_by(gauge)) {
    if (!reads.empty() && reads.back().span.table == next.span.table &&
        end_of(next.span) - reads.back().span.address <= kLongestSpan) {
      GaugeRead& last = reads.back();
      last.span.count = std::max(end_of(last.span), end_of(next.span)) - last.span.address;
      last.needed = last.needed || next.needed;
    } else {
      reads.push_back(next);
    }
  }
  return needed_first(std::move(reads));
}

}  // namespace stillwell::config
