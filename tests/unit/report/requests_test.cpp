#include "stillwell/report/requests.hpp"

#include "support/catch.hpp"
#include <nlohmann/json.hpp>

using namespace stillwell;
using namespace stillwell::report;

TEST_CASE("requests: status and each command are read", "[report][socket]") {
  const auto status = parse_request(R"({"do":"status"})");
  REQUIRE(status);
  CHECK(std::holds_alternative<StatusRequest>(*status));

  const auto command_of = [](const char* line) {
    const auto request = parse_request(line);
    REQUIRE(request);
    return std::get<Command>(*request);
  };
  const auto acknowledge = command_of(R"({"do":"acknowledge","target":"header/low"})");
  CHECK(acknowledge.kind == CommandKind::acknowledge);
  CHECK(acknowledge.target == "header/low");
  CHECK(command_of(R"({"do":"reset","target":"lift"})").kind == CommandKind::reset);
  CHECK(command_of(R"({"do":"accept","target":"header"})").kind == CommandKind::accept);
  const auto mode = command_of(R"({"do":"mode","target":"lift","argument":"off"})");
  CHECK(mode.kind == CommandKind::mode);
  CHECK(mode.argument == "off");
  const auto prove = command_of(R"({"do":"prove","target":"lift","argument":"source-low"})");
  CHECK(prove.kind == CommandKind::prove);
  CHECK(prove.argument == "source-low");
  for (const auto& [verb, kind] :
       {std::pair{"silence", CommandKind::silence}, std::pair{"sound-horn", CommandKind::sound_horn}}) {
    const std::string begin = std::string{R"({"do":")"} + verb + "\"";
    CHECK(command_of((begin + "}").c_str()).kind == kind);
    CHECK(command_of((begin + "}").c_str()).target == "all");
    CHECK(command_of((begin + R"(,"target":"yard"})").c_str()).target == "yard");
  }
}

TEST_CASE("requests: what is not understood is refused with what was expected", "[report][socket]") {
  const auto expect = [](const std::string& line, const std::string& part) {
    INFO(line);
    const auto request = parse_request(line);
    REQUIRE_FALSE(request.ok());
    CHECK(request.error().find(part) != std::string::npos);
  };
  expect("", "one line of JSON");
  expect("status", "one line of JSON");
  expect("[]", "one line of JSON");
  expect("{\"do\":\"status\"", "one line of JSON");
  expect(std::string("\0\xff\xfe", 3), "one line of JSON");
  expect("{}", "`do` must be one of");
  expect(R"({"do":"explode"})", "`do` must be one of");
  expect(R"({"do":["status"]})", "`do` must be one of");
  expect(R"({"do":"reset"})", "`target`");
  expect(R"({"do":"reset","target":""})", "`target`");
  expect(R"({"do":"reset","target":7})", "`target`");
  expect(R"({"do":"silence","target":7})", "`target`");
  expect(R"({"do":"silence","target":""})", "`target`");
  expect(R"({"do":"reset","target":")" + std::string(129, 'x') + R"("})", "`target`");
  expect(R"({"do":"mode","target":"lift"})", "`argument` must be auto or hand or off");
  expect(R"({"do":"mode","target":"lift","argument":"Hand"})", "`argument` must be auto or hand or off");
  expect(R"({"do":"prove","target":"lift"})",
         "`argument` must be begin, keep, hand, off, free, end or the cause");
  expect(R"({"do":"prove","target":"lift","argument":"begin","for":"2 h"})", "`for` is not known");
  expect(R"({"do":"reset","target":"lift","for":"2 h"})", "`for` is not known");
  expect(R"({"do":"reset","target":"lift","argument":"off"})", "`argument` is not known");
  expect(std::string(4000, '['), "one line of JSON");
}

TEST_CASE("requests: an answer is one line, whatever its text", "[report][socket]") {
  const auto line = to_json(Answer{3, false, "no \"pump\"\n\xff"});
  CHECK(line.find('\n') == std::string::npos);
  const auto parsed = nlohmann::json::parse(line);
  CHECK(parsed["done"] == false);
  CHECK(parsed["text"] == "no \"pump\"\n\xEF\xBF\xBD");
}
