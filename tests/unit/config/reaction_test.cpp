#include "stillwell/config/reaction.hpp"

#include "stillwell/config/configuration.hpp"

#include "support/catch.hpp"
#include "support/config_base.hpp"

using namespace stillwell;
using namespace stillwell::config;
using namespace std::chrono_literals;

namespace {

std::optional<Reaction> reaction_with(const std::string& from, const std::string& to) {
  const Loaded loaded = parse(support::base_with(from, to), "site.yaml");
  for (const Problem& problem : loaded.problems)
    UNSCOPED_INFO(problem.to_text());
  REQUIRE(loaded.configuration);
  return reaction_of(loaded.configuration->wiring, ContactIndex{0});
}

double milliseconds(Duration time) {
  return 1000.0 * seconds_of(time);
}

}  // namespace

TEST_CASE("reaction: the longest transaction of the line, one write and five milliseconds",
          "[config][reaction]") {
  // At 9600 baud a character of 11 bits takes 1.1458 ms and a pause 4.0104 ms (Modbus over Serial Line V1.02,
  // 2.5.1.1). The longest read is that of the sump's two registers, of which three are asked now and then: 8
  // + 5 + 6 characters and two pauses, 29.79 ms; a write 8 + 8 and two pauses, 26.35 ms.
  const auto reaction = reaction_with("site: { id: orchard }", "site: { id: orchard }");
  REQUIRE(reaction);
  CHECK(milliseconds(reaction->healthy) == Approx(29.79 + 26.35 + 5.0).margin(0.05));
}

TEST_CASE("reaction: behind a silent station it waits for its timeout", "[config][reaction]") {
  const auto reaction = reaction_with("carries: modbus }", "carries: modbus, timeout: 200 ms }");
  REQUIRE(reaction);
  // The request of 8 characters, a pause, and 200 ms.
  CHECK(milliseconds(reaction->silent) == Approx(9.17 + 4.01 + 200.0 + 26.35 + 5.0).margin(0.05));
  CHECK(reaction->silent > reaction->healthy);
}

TEST_CASE("reaction: over TCP nobody knows the wires behind", "[config][reaction]") {
  CHECK_FALSE(reaction_with("port: /dev/ttyUSB0, speed: 9600 8N1", "tcp: 192.0.2.7").has_value());
}
