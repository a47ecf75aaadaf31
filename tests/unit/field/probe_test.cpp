// Questions of a search and what comes back, against a module that is written from the specification and
// shares no code with them.

#include "stillwell/field/probe.hpp"

#include <algorithm>

#include "support/bench_csv.hpp"
#include "support/bench_seed.hpp"
#include "support/catch.hpp"
#include "support/modbus_module.hpp"

using namespace stillwell;
using namespace stillwell::field;
using config::Table;

namespace {

using support::Bytes;

Bytes bytes_of(const Probe& probe) {
  return {probe.begin(), probe.end()};
}

Bytes reply_of(support::ModbusModule& module, const Probe& probe) {
  const auto bursts = module.serve(bytes_of(probe));
  return bursts.empty() ? Bytes{} : bursts.front().bytes;
}

Bytes joined(Bytes one, const Bytes& other) {
  one.insert(one.end(), other.begin(), other.end());
  return one;
}

}  // namespace

TEST_CASE("probe: it asks for one register by functions 3 and 4, and by no other", "[field][search]") {
  CHECK(bytes_of(probe_of(17, Table::holding, 107)) == support::with_crc({17, 3, 0, 107, 0, 1}));
  CHECK(bytes_of(probe_of(247, Table::input, 0)) == support::with_crc({247, 4, 0, 0, 0, 1}));
}

TEST_CASE("probe: a value and an exception are a station, by its right sum", "[field][search]") {
  support::ModbusModule module{9};
  module.set_word(4, 3, 1953);
  const Probe probe = probe_of(9, Table::input, 3);
  const auto value = look_at(probe, reply_of(module, probe));
  CHECK(value.kind == ProbeOutcome::value);
  CHECK(value.station == 9);
  CHECK(value.word == 1953);
  CHECK_FALSE(value.is_echoed);
  module.answer_exception(2);
  const auto refused = look_at(probe, reply_of(module, probe));
  CHECK(refused.kind == ProbeOutcome::exception);
  CHECK(refused.exception == 2);
  CHECK(look_at(probe, {}).kind == ProbeOutcome::silence);
}

TEST_CASE("probe: any bit that is wrong makes a reply noise", "[field][search]") {
  support::ModbusModule module{9};
  module.set_word(4, 3, 1953);
  const Probe probe = probe_of(9, Table::input, 3);
  const Bytes reply = reply_of(module, probe);
  for (std::size_t bit = 0; bit < reply.size() * 8; ++bit) {
    Bytes broken = reply;
    broken[bit / 8] = static_cast<std::uint8_t>(broken[bit / 8] ^ 1U << bit % 8);
    INFO("bit " << bit);
    CHECK(look_at(probe, broken).kind == ProbeOutcome::noise);
  }
  for (std::size_t length = 1; length < reply.size(); ++length)
    CHECK(look_at(probe, {reply.data(), length}).kind == ProbeOutcome::noise);
}

TEST_CASE("probe: an echo is told apart, with and without a reply behind it", "[field][search]") {
  support::ModbusModule module{9};
  module.set_word(3, 0, 1953);
  const Probe probe = probe_of(9, Table::holding, 0);
  const auto alone = look_at(probe, bytes_of(probe));
  CHECK(alone.is_echoed);
  CHECK(alone.kind == ProbeOutcome::silence);
  const auto both = look_at(probe, joined(bytes_of(probe), reply_of(module, probe)));
  CHECK(both.is_echoed);
  CHECK(both.kind == ProbeOutcome::value);
  CHECK(both.word == 1953);
}

TEST_CASE("probe: a reply behind stray bytes counts, and a late one bears its own station",
          "[field][search]") {
  support::ModbusModule module{9};
  module.set_word(3, 0, 1953);
  const Bytes reply = reply_of(module, probe_of(9, Table::holding, 0));
  const auto late = look_at(probe_of(10, Table::holding, 0), joined({0x00, 0xFF}, reply));
  CHECK(late.kind == ProbeOutcome::value);
  CHECK(late.station == 9);
  // The other table's reply is none.
  CHECK(look_at(probe_of(9, Table::input, 0), reply).kind == ProbeOutcome::noise);
}

TEST_CASE("probe: bytes of chance are no station", "[field][search][property]") {
  const std::uint64_t seed = support::seed_or(4300);
  INFO("STILLWELL_SEED=" << seed);
  support::Dice dice{seed};
  const Probe probe = probe_of(9, Table::holding, 0);
  for (int round = 0; round < 20'000; ++round) {
    Bytes noise;
    for (int n = 0; n < 1 + dice.roll(12); ++n)
      noise.push_back(static_cast<std::uint8_t>(dice.roll(256)));
    CHECK(look_at(probe, noise).kind == ProbeOutcome::noise);
  }
}

TEST_CASE("probe: exceptions have the names of the specification", "[field][search][reference]") {
  const support::Csv csv{"08_modbus_rules.csv"};
  int compared = 0;
  for (std::size_t row = 0; row < csv.size(); ++row) {
    if (csv.at(row, "topic") != "exception code") continue;
    std::string name = csv.at(row, "value");
    std::transform(name.begin(), name.end(), name.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    CHECK(exception_word(std::stoi(csv.at(row, "item"), nullptr, 16)) == name);
    ++compared;
  }
  CHECK(compared == 9);
  CHECK(exception_word(0x07) == "unknown");
  CHECK(is_from_gateway(0x0B));
  CHECK_FALSE(is_from_gateway(0x02));
}
