#include "stillwell/service/lock.hpp"

#include <cstdlib>

#include "support/catch.hpp"
#include <unistd.h>

using namespace stillwell;

namespace {

std::filesystem::path new_directory() {
  std::string name = (std::filesystem::temp_directory_path() / "stillwell-lock-XXXXXX").string();
  REQUIRE(::mkdtemp(name.data()) != nullptr);
  return name;
}

}  // namespace

TEST_CASE("lock: a second daemon on the same state is refused and told why", "[service][rule-19]") {
  const auto directory = new_directory();
  {
    const auto first = service::lock_state(directory);
    REQUIRE(first.lock != nullptr);
    const auto second = service::lock_state(directory);
    REQUIRE_FALSE(second.lock != nullptr);
    CHECK(second.why.find("another stillwell daemon") != std::string::npos);
    CHECK(second.why.find(directory.string()) != std::string::npos);
  }
  std::filesystem::remove_all(directory);
}

TEST_CASE("lock: it goes with its holder and makes a missing directory", "[service][rule-19]") {
  const auto directory = new_directory();
  { CHECK(service::lock_state(directory / "deep" / "state").lock != nullptr); }
  CHECK(service::lock_state(directory / "deep" / "state").lock != nullptr);
  std::filesystem::remove_all(directory);
}

TEST_CASE("lock: a state directory that cannot be is refused with its path and a remedy",
          "[service][input]") {
  const auto lock = service::lock_state("/proc/no-such/stillwell");
  REQUIRE_FALSE(lock.lock != nullptr);
  CHECK(lock.why.find("/proc/no-such/stillwell") != std::string::npos);
  CHECK(lock.why.find("--state") != std::string::npos);
}
