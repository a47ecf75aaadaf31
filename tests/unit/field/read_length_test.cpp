#include "stillwell/field/read_length.hpp"

#include <vector>

#include "support/catch.hpp"

using namespace stillwell::field;
using stillwell::config::Table;

namespace {

const Span kRegister{.table = Table::input, .address = 4, .count = 1};
const Span kBit{.table = Table::coil, .address = 0, .count = 1};

/// Reads so often with every read answered, alone on its station; the counts that were asked for.
std::vector<int> ask(ReadLength& length, const Span& span, int times) {
  std::vector<int> counts;
  int last = 0;
  for (int n = 0; n < times; ++n) {
    counts.push_back(length.choose(last));
    length.answered(counts.back());
    last = reply_bytes(span.table, counts.back());
  }
  return counts;
}

}  // namespace

TEST_CASE("read length: registers alternate between one and two, bits between one and nine", "[field]") {
  ReadLength registers{kRegister};
  CHECK(ask(registers, kRegister, 4) == std::vector{1, 2, 1, 2});
  ReadLength bits{kBit};
  CHECK(ask(bits, kBit, 4) == std::vector{1, 9, 1, 9});
}

TEST_CASE("read length: no read has the size of its last one, nor of its station's last one", "[field]") {
  // Two gauges of a station in turn, one needing a register more than the other.
  const Span wide{.table = Table::input, .address = 40, .count = 2};
  ReadLength one{kRegister};
  ReadLength two{wide};
  int station_last = 0;
  int one_last = 0;
  int two_last = 0;
  for (int turn = 0; turn < 50; ++turn) {
    const int first = one.choose(station_last);
    CHECK(first != one_last);
    CHECK(reply_bytes(Table::input, first) != station_last);
    one.answered(first);
    one_last = first;
    station_last = reply_bytes(Table::input, first);
    const int second = two.choose(station_last);
    CHECK(second != two_last);
    CHECK(reply_bytes(Table::input, second) != station_last);
    two.answered(second);
    two_last = second;
    station_last = reply_bytes(Table::input, second);
  }
}

TEST_CASE("read length: it changes after a lost reply as well", "[field]") {
  ReadLength length{kRegister};
  int last = length.choose(0);
  for (int n = 0; n < 6; ++n) {
    length.unanswered(last);
    const int next = length.choose(reply_bytes(Table::input, last));
    CHECK(next != last);
    last = next;
  }
}

TEST_CASE("read length: a map that ends is not read beyond its end again", "[field]") {
  ReadLength length{kRegister};
  CHECK(length.refused(3));  // leaves two
  CHECK(ask(length, kRegister, 4) == std::vector{1, 2, 1, 2});
  CHECK(length.refused(2));  // leaves one
  CHECK(ask(length, kRegister, 3) == std::vector{1, 1, 1});
  CHECK_FALSE(length.refused(1));  // and less there is not
}

TEST_CASE("read length: a module that is silent on the longer read is soon asked for the plain one only",
          "[field]") {
  ReadLength length{kRegister};
  int last = 0;
  std::vector<int> counts;
  for (int n = 0; n < 12; ++n) {
    counts.push_back(length.choose(last));
    last = reply_bytes(Table::input, counts.back());
    if (counts.back() == 1)
      length.answered(1);
    else
      length.unanswered(counts.back());
  }
  CHECK(counts == std::vector{1, 2, 1, 2, 1, 2, 1, 1, 1, 1, 1, 1});
}

TEST_CASE("read length: a station that answers nothing loses no protection", "[field]") {
  ReadLength length{kRegister};
  int last = 0;
  for (int n = 0; n < 20; ++n) {
    const int count = length.choose(last);
    length.unanswered(count);
    last = reply_bytes(Table::input, count);
  }
  CHECK(ask(length, kRegister, 2).size() == 2);
  CHECK(length.choose(0) != length.choose(reply_bytes(Table::input, length.choose(0))));
}

TEST_CASE("read length: nothing beyond the last address is asked for", "[field]") {
  const Span last_register{.table = Table::holding, .address = 65535, .count = 1};
  ReadLength length{last_register};
  CHECK(ask(length, last_register, 3) == std::vector{1, 1, 1});
  const Span last_bits{.table = Table::discrete, .address = 65527, .count = 1};
  ReadLength bits{last_bits};
  CHECK(ask(bits, last_bits, 3) == std::vector{1, 9, 1});
}
