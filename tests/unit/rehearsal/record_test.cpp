#include "stillwell/rehearsal/record.hpp"

#include <sstream>
#include <string>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace stillwell::rehearsal;
using namespace std::chrono_literals;

namespace {

std::string refused_header(const std::string& text) {
  std::istringstream stream{text};
  const auto record = Record::open(stream, support::bench_model());
  return record ? std::string{} : record.error();
}

/// Every row of a record whose header is right, or what stopped it.
struct ReadRows {
  std::vector<Row> rows;
  std::string failure;
};
ReadRows read_all(const std::string& text) {
  std::istringstream stream{text};
  auto record = Record::open(stream, support::bench_model());
  REQUIRE(record);
  Record reader = *record;
  ReadRows read;
  while (true) {
    const auto row = reader.next();
    if (!row) {
      read.failure = row.error();
      return read;
    }
    if (!*row) return read;
    read.rows.push_back(**row);
  }
}

}  // namespace

TEST_CASE("record: rows have their times, and an empty cell is no answer", "[rehearsal][record]") {
  const auto read = read_all(
      "at,gauges.header-gauge,tanks.sump,switches.header-float\r\n"
      "2026-03-01T04:12:07Z,0.75,,1\r\n"
      "2026-03-01T04:12:08.500Z,,0.5,0\r\n"
      "\r\n"
      "at,gauges.header-gauge,tanks.sump,switches.header-float\r\n"
      "2026-03-01T04:13:07Z,0.8,0.25\r\n");
  CHECK(read.failure.empty());
  REQUIRE(read.rows.size() == 3);
  CHECK(to_text(*read.rows[0].wall) == "2026-03-01T04:12:07.000Z");
  CHECK(read.rows[0].at == 0s);
  CHECK(read.rows[1].at == 1500ms);
  CHECK(read.rows[2].at == 1min);
  CHECK(read.rows[0].cells[0] == 0.75);
  CHECK_FALSE(read.rows[0].cells[1]);
  CHECK_FALSE(read.rows[1].cells[0]);
  CHECK(read.rows[1].cells[2] == 0.0);
  CHECK_FALSE(read.rows[2].cells[2]);
}

TEST_CASE("record: seconds count from the first row, and have no date", "[rehearsal][record]") {
  const auto read = read_all("at,tanks.header\n100,0.5\n100.25,0.5\n3700,0.5\n");
  REQUIRE(read.rows.size() == 3);
  CHECK(read.rows[1].at == 250ms);
  CHECK(read.rows[2].at == 1h);
  CHECK_FALSE(read.rows[0].wall);
}

TEST_CASE("record: a header that means nothing here is refused with the column",
          "[rehearsal][record][errors]") {
  CHECK(refused_header("") == "no header: expected at, and then a column of each instrument");
  CHECK(refused_header("time,tanks.header\n") == "line 1: expected a header whose first column is 'at'");
  CHECK(refused_header("at,tanks.haeder\n") ==
        "line 1: column 'tanks.haeder': the configuration has no such name under tanks");
  CHECK(refused_header("at,header\n") ==
        "line 1: column 'header': expected gauges.ID, tanks.ID, switches.ID or meters.ID");
  CHECK(refused_header("at,pumps.lift,alarms.header/low\n").empty());
}

TEST_CASE("record: a row that is wrong is told with its line, and ends it", "[rehearsal][record][errors]") {
  const std::string head = "at,tanks.header\n";
  const std::string first = "2026-03-01T04:12:07Z,0.5\n";
  const auto failure = [&](const std::string& row) { return read_all(head + first + row + "\n").failure; };
  CHECK(failure("2026-03-01T04:12:07Z,0.5") == "line 3: '2026-03-01T04:12:07Z' is not after the row before");
  CHECK(failure("2026-02-30T00:00:00Z,0.5")
            .starts_with("line 3: '2026-02-30T00:00:00Z': expected a time in UTC"));
  CHECK(failure("17,0.5").starts_with("line 3: '17': expected a time as in the rows before"));
  CHECK(failure("2026-03-01T04:12:08Z,half") == "line 3: 'half': expected a number, or nothing");
  CHECK(failure("2026-03-01T04:12:08Z,nan").starts_with("line 3: 'nan'"));
  CHECK(failure("2026-03-01T04:12:08Z,0.5,0.6") == "line 3: more fields than the header has");
  CHECK(failure("2026-03-01T04:12:08Z,0.5").empty());
  // A power cut in the last line, and bytes of a card that is worn out.
  CHECK(failure("2026-03-01T04:1").starts_with("line 3: "));
  CHECK(failure(std::string(100'000, '\xff')).starts_with("line 3: "));
}
