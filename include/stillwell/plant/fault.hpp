#pragma once
// The fault table: what can go wrong with an instrument, a line, a contact, a pump or a source of water,
// once. Orders, scenarios, the simulated devices and the documentation all read these rows.

#include "stillwell/quantity/result.hpp"
#include "stillwell/site/model.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace stillwell::plant {

enum class FaultKind : std::uint8_t {
  silence,
  bad_sum,
  garbage,
  late,
  exception,
  refuses_long,
  spike,
  frozen,
  stuck,
  noise,
  broken_wire,
  misreads,
  welded,
  open_circuit,
  ignores_writes,
  lying_echo,
  unplugged,
  dry,
  airlock,
};

/// What a fault can befall.
enum class Part : std::uint8_t { gauge, input, meter, contact, line, tank, pump };
std::string_view to_word(Part part);

/// One part of the site: a position in the model's list of its kind.
struct Target {
  Part part = Part::gauge;
  std::size_t at = 0;
  friend bool operator==(const Target&, const Target&) = default;
};

/// How large, where a fault has a size.
using Amount = std::variant<std::monostate, Metres, Duration, Percent>;

struct FaultRow {
  FaultKind kind;
  std::string_view word;  ///< as people order it
  std::uint8_t befalls;   ///< bit 1 << Part
  Amount usual;           ///< the size when none is named; its alternative says what kind of size it takes
  bool needs_amount;      ///< true: a size must be named
  std::string_view text;  ///< what happens while it lasts

  [[nodiscard]] bool can_befall(Part part) const {
    return ((befalls >> static_cast<unsigned>(part)) & 1U) != 0;
  }
};

/// All rows, in order of FaultKind.
std::span<const FaultRow> fault_table();
const FaultRow& row_of(FaultKind kind);
/// The row of a word, or which words there are.
Result<FaultKind> find_fault(std::string_view word);

/// The part of that name which the fault can befall.
Result<Target> find_target(const Model& model, FaultKind kind, std::string_view id);
/// Every part of that name.
std::vector<Target> find_targets(const Model& model, std::string_view id);

/// "1.2 m", "700 ms" or "40 %", as the kind of fault takes it; empty text asks for the usual size.
Result<Amount> parse_amount(FaultKind kind, std::string_view text);

/// One fault over a stretch of the plant's own time.
struct Fault {
  Target target;
  FaultKind kind = FaultKind::silence;
  Amount amount;
  Duration from{};
  std::optional<Duration> until;  ///< empty: until it is cleared

  [[nodiscard]] bool active(Duration now) const { return from <= now && (!until || now < *until); }
};

}  // namespace stillwell::plant
