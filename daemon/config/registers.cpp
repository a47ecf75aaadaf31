#include "stillwell/config/registers.hpp"

#include <array>

namespace stillwell::config {
namespace {

struct Row {
  std::string_view word;
  Encoding encoding;
};
constexpr std::array kRows{
    Row{"u16", Encoding::u16},     Row{"i16", Encoding::i16},     Row{"u32be", Encoding::u32be},
    Row{"u32le", Encoding::u32le}, Row{"i32be", Encoding::i32be}, Row{"i32le", Encoding::i32le},
    Row{"f32be", Encoding::f32be}, Row{"f32le", Encoding::f32le}, Row{"f32bs", Encoding::f32bs},
    Row{"f32ls", Encoding::f32ls},
};

}  // namespace

std::optional<Encoding> encoding_of(std::string_view word) {
  for (const Row& row : kRows) {
    if (row.word == word) return row.encoding;
  }
  return {};
}

std::size_t width_of(Encoding encoding) {
  return encoding == Encoding::u16 || encoding == Encoding::i16 ? 1 : 2;
}

}  // namespace stillwell::config
