#include "stillwell/config/value.hpp"

#include "stillwell/config/broker_url.hpp"
#include "stillwell/config/variables.hpp"

#include <array>
#include <cstdlib>
#include <regex>

#include "support/bench_csv.hpp"
#include "support/catch.hpp"

using namespace stillwell;
using namespace stillwell::config;

namespace {

constexpr std::array kScalarKinds{
    Kind::text,           Kind::id,          Kind::path,    Kind::expanded_path, Kind::url,
    Kind::timezone,       Kind::serial,      Kind::length,  Kind::volume,        Kind::duration,
    Kind::flow,           Kind::set_point,   Kind::window,  Kind::length_count,  Kind::temperature_count,
    Kind::host_port,      Kind::temperature, Kind::percent, Kind::pressure,      Kind::percent_count,
    Kind::pressure_count, Kind::per_hour,    Kind::topic};

constexpr std::array kTexts{"2.4 m",
                            "25cm",
                            "25 cm",
                            "-3 mm",
                            "1e3 mm",
                            ".5 m",
                            "5. m",
                            "+1 m",
                            " 1 m",
                            "1  m",
                            "1 m ",
                            "0x10 m",
                            "inf m",
                            "nan m",
                            "1,5 m",
                            "1 M",
                            "5000 L",
                            "5 m3",
                            "5 l",
                            "90 s",
                            "300 ms",
                            "2 h",
                            "1 d",
                            "5 sec",
                            "60 L/min",
                            "3 m3/h",
                            "3 m3 / h",
                            "15 %",
                            "15%",
                            "15",
                            "%",
                            "mm",
                            "0.1 mm",
                            "degC",
                            "25 kPa",
                            "0.1mbar",
                            "10/h",
                            "10 /h",
                            "10 / h",
                            "10/min",
                            "/h",
                            "kPa",
                            "60%",
                            "192.0.2.7:502",
                            "gateway.lan",
                            "[::1]:502",
                            "[::1",
                            "host:0",
                            "host:70000",
                            "0.1 degC",
                            "e m",
                            "- m",
                            "",
                            "a",
                            "a-b",
                            "-a",
                            "a-",
                            "A",
                            "header-top",
                            "set",
                            "/dev/ttyUSB0",
                            "/",
                            "${X}/y",
                            "${X",
                            "${}/y",
                            "dev/tty",
                            "mqtt://host",
                            "mqtts://host:8883",
                            "mqtt://[::1]:1883",
                            "mqtt://",
                            "http://host",
                            "hub/status",
                            "hub/+/status",
                            "hub/",
                            "mqtt://host:",
                            "mqtt://host/path",
                            "mqtt://user:pw@host",
                            "Europe/Lisbon",
                            "UTC",
                            "Etc/GMT+1",
                            "../etc",
                            "9600 8N1",
                            "9600 8X1",
                            "9600 9N1",
                            "9600  8N1",
                            "9600-8N1",
                            "22:00-06:00",
                            "22:00-24:00",
                            "24:00-06:00",
                            "7:00-08:00",
                            "22:00 - 06:00",
                            "1e5 min",
                            "1_000 L"};

}  // namespace

TEST_CASE("kinds: a text that the loader takes, the schema's pattern takes too", "[config][schema]") {
  int taken = 0;
  for (const Kind kind : kScalarKinds) {
    const Key key{.name = "k", .kind = kind};
    const std::regex pattern(pattern_of(kind).empty() ? ".+" : pattern_of(kind));
    for (const std::string text : kTexts) {
      INFO(row_of(kind).name << " '" << text << "'");
      const auto value = parse_value(key, text);
      if (value) ++taken;
      if (value) CHECK(std::regex_match(text, pattern));
    }
  }
  CHECK(taken > 60);
}

TEST_CASE("kinds: a quantity that fits the schema's pattern is one that the loader takes",
          "[config][schema]") {
  for (const Kind kind : kScalarKinds) {
    if (row_of(kind).units.empty()) continue;
    const Key key{.name = "k", .kind = kind};
    const std::regex pattern(pattern_of(kind));
    for (const std::string text : kTexts) {
      INFO(row_of(kind).name << " '" << text << "'");
      if (std::regex_match(text, pattern)) CHECK(parse_value(key, text).ok());
    }
  }
}

TEST_CASE("values: whole numbers and bytes are read in one way only", "[config]") {
  const Key integer{.name = "n", .kind = Kind::integer, .least = "1", .most = "247"};
  const Key byte{.name = "b", .kind = Kind::byte, .least = "0", .most = "255"};
  CHECK(std::get<std::int64_t>(*parse_value(integer, "247")) == 247);
  CHECK(std::get<std::int64_t>(*parse_value(byte, "0x55")) == 0x55);
  CHECK(std::get<std::int64_t>(*parse_value(byte, "85")) == 85);
  for (const char* text :
       {"0", "248", "010", "0x10", "1.0", "1e2", "-1", "", "99999999999999999999", "12 "}) {
    INFO(text);
    CHECK_FALSE(parse_value(integer, text).ok());
  }
  for (const char* text : {"256", "0x100", "0x", "0x-1", "-1", "055"}) {
    INFO(text);
    CHECK_FALSE(parse_value(byte, text).ok());
  }
}

TEST_CASE("values: flags are true and false and no other word of any YAML", "[config]") {
  const Key flag{.name = "f", .kind = Kind::flag};
  CHECK(std::get<bool>(*parse_value(flag, "true")));
  CHECK_FALSE(std::get<bool>(*parse_value(flag, "false")));
  for (const char* text : {"yes", "no", "on", "off", "True", "TRUE", "y", "1"})
    CHECK_FALSE(parse_value(flag, text).ok());
}

TEST_CASE("values: a limit is inclusive on both ends", "[config]") {
  const Key key{.name = "scan", .kind = Kind::duration, .least = "100 ms", .most = "60 s"};
  CHECK(parse_value(key, "100 ms").ok());
  CHECK(parse_value(key, "1 min").ok());
  CHECK_FALSE(parse_value(key, "99 ms").ok());
  CHECK_FALSE(parse_value(key, "60.001 s").ok());
  CHECK_FALSE(parse_value(key, "-1 s").ok());
}

TEST_CASE("values: every default and every limit of the grammar is a legal value of its key", "[config]") {
  int seen = 0;
  const auto visit = [&](const auto& self, const Section& section) -> void {
    for (const Key& key : section.keys) {
      INFO(section.name << "." << key.name);
      CHECK_FALSE(key.doc.empty());
      CHECK_FALSE((key.required && !key.fallback.empty()));
      if (key.section != nullptr) {
        self(self, *key.section);
        continue;
      }
      for (const std::string_view text : {key.fallback, key.least, key.most}) {
        if (text.empty()) continue;
        ++seen;
        CHECK(parse_value(key, text).ok());
      }
    }
  };
  visit(visit, grammar());
  CHECK(seen > 50);
}

TEST_CASE("values: a window may cross midnight and end with the day", "[config]") {
  const Key key{.name = "w", .kind = Kind::window};
  const auto night = std::get<DayWindow>(*parse_value(key, "22:00-06:30"));
  CHECK(night.from == 22 * 60);
  CHECK(night.to == 6 * 60 + 30);
  CHECK(std::get<DayWindow>(*parse_value(key, "00:00-24:00")).to == 24 * 60);
  CHECK_FALSE(parse_value(key, "06:00-06:00").ok());
}

TEST_CASE("serial: the silence between messages is that of the published timing table",
          "[config][reference]") {
  // 08_modbus_timing.csv: 3.5 characters of 11 bits, 1.75 ms above 19200 baud (serial-line
  // specification 2.5.1.1).
  const support::Csv table("08_modbus_timing.csv");
  REQUIRE(table.size() > 0);
  for (std::size_t row = 0; row < table.size(); ++row) {
    const int baud = std::stoi(table.at(row, "baud"));
    INFO(baud);
    CHECK(seconds_of(least_quiet(baud)) * 1000.0 == Approx(std::stod(table.at(row, "t3_5_ms"))).margin(1e-5));
  }
}

TEST_CASE("serial: only speeds that the Modbus library really sets are taken", "[config]") {
  const auto speed = parse_serial_speed("19200 8E1");
  REQUIRE(speed.ok());
  CHECK(speed->baud == 19200);
  CHECK(speed->parity == Parity::even);
  CHECK(parse_serial_speed("115200 8O2")->stop_bits == 2);
  // It takes these for 9600 without a word.
  for (const char* text : {"12345 8N1", "250000 8N1", "9601 8N1"})
    CHECK_FALSE(parse_serial_speed(text).ok());
}

TEST_CASE("broker url: host, port and TLS are told apart", "[config]") {
  const auto plain = parse_broker_url("mqtt://broker.lan");
  REQUIRE(plain.ok());
  CHECK(plain->host == "broker.lan");
  CHECK(plain->port == 1883);
  CHECK_FALSE(plain->tls);
  const auto secure = parse_broker_url("mqtts://[2001:db8::1]:8884");
  REQUIRE(secure.ok());
  CHECK(secure->host == "2001:db8::1");
  CHECK(secure->port == 8884);
  CHECK(secure->tls);
  CHECK(parse_broker_url("mqtts://192.0.2.7")->port == 8883);
  for (const char* text : {"mqtt://", "mqtt://:1883", "mqtt://h:0", "mqtt://h:65536", "mqtt://[::1",
                           "mqtt://[::1]x", "tcp://h"}) {
    INFO(text);
    CHECK_FALSE(parse_broker_url(text).ok());
  }
}

TEST_CASE("variables: a set one is replaced, an unset one is named and left", "[config]") {
  REQUIRE(setenv("STILLWELL_TEST_DIRECTORY", "/run/credentials", 1) == 0);
  REQUIRE(unsetenv("STILLWELL_TEST_UNSET") == 0);
  const auto set = expand("${STILLWELL_TEST_DIRECTORY}/a/${STILLWELL_TEST_DIRECTORY}");
  REQUIRE(set.ok());
  CHECK(set->text == "/run/credentials/a//run/credentials");
  CHECK(set->unset.empty());
  const auto unset = expand("/x/${STILLWELL_TEST_UNSET}/b");
  REQUIRE(unset.ok());
  CHECK(unset->text == "/x/${STILLWELL_TEST_UNSET}/b");
  CHECK(unset->unset == "STILLWELL_TEST_UNSET");
  for (const char* text : {"${", "${}", "${A B}", "${1}"})
    CHECK_FALSE(expand(text).ok());
}
