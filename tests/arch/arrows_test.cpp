// The arrows between the rooms, read from the include lines. Data flows one way, like the water; this table
// is the one place where a room's neighbours are written down for a machine (DEVELOPERS.md has them for
// people).

#include <map>
#include <set>
#include <string>
#include <vector>

#include "support/bench_tree.hpp"
#include "support/catch.hpp"

namespace {

using Rooms = std::set<std::string>;

const Rooms kCore{"quantity", "reading", "tank", "alarm", "pump", "site"};

Rooms core_and(const Rooms& more) {
  Rooms rooms = kCore;
  rooms.insert(more.begin(), more.end());
  return rooms;
}

/// What each room may include, beside itself.
const std::map<std::string, Rooms> kArrows{
    {"quantity", {}},
    {"reading", {"quantity"}},
    {"tank", {"quantity", "reading"}},
    {"alarm", {"quantity", "reading"}},
    {"pump", {"quantity", "reading", "tank"}},
    {"site", kCore},
    {"config", kCore},  // and the description of a frame, see below
    {"frames", {"quantity"}},
    {"field", {"quantity", "reading", "config", "frames"}},
    {"report", core_and({"config"})},
    {"service", core_and({"config", "field", "frames", "report", "plant"})},
    {"plant", {"quantity", "tank", "site"}},
    {"rehearsal", core_and({"plant", "config"})},
    {"orchard", {"quantity", "plant", "rehearsal", "frames", "config"}},
    {"command", core_and({"config", "field", "frames", "report", "service", "plant", "rehearsal"})},
    {"manual", {"command"}},
};

/// The configuration describes frames without knowing how they are read.
const std::set<std::pair<std::string, std::string>> kSingleArrows{
    {"config", "stillwell/field/frames/format.hpp"},
};

/// "stillwell/field/frames/decoder.hpp" or "daemon/field/frames/decoder.cpp" → "frames".
std::string room_of(const std::string& path, const std::string& before) {
  const std::string rest = path.substr(before.size());
  if (rest.starts_with("field/frames/")) return "frames";
  return rest.substr(0, rest.find('/'));
}

std::string room_of_file(const std::string& file) {
  return room_of(file, file.starts_with("daemon/") ? "daemon/" : "include/stillwell/");
}

/// The standard library's headers have bare names.
bool is_standard(const std::string& header) {
  return header.find_first_of("./") == std::string::npos;
}

std::vector<support::Include> all_includes() {
  std::vector<support::Include> all;
  for (const std::string folder : {"include", "daemon"})
    for (const auto& file : support::cpp_files(folder))
      for (auto& include : support::includes_of(file))
        all.push_back(std::move(include));
  return all;
}

}  // namespace

TEST_CASE("house: no room includes one it may not", "[arch][arrows]") {
  int arrows = 0;
  for (const auto& include : all_includes()) {
    if (include.angle || !include.what.starts_with("stillwell/")) continue;
    const std::string from = room_of_file(include.file.string());
    const std::string to = room_of(include.what, "stillwell/");
    INFO(support::where(include));
    REQUIRE(kArrows.contains(from));
    REQUIRE(kArrows.contains(to));
    const bool allowed =
        from == to || kArrows.at(from).contains(to) || kSingleArrows.contains({from, include.what});
    CHECK(allowed);
    ++arrows;
  }
  CHECK(arrows > 100);  // the lines were found at all
}

TEST_CASE("house: the field knows no report, and the report no field", "[arch][arrows]") {
  CHECK_FALSE(kArrows.at("field").contains("report"));
  CHECK_FALSE(kArrows.at("report").contains("field"));
  for (const std::string logic : {"reading", "tank", "alarm", "pump", "site"})
    for (const std::string wire : {"field", "frames", "report", "service"})
      CHECK_FALSE(kArrows.at(logic).contains(wire));
}

TEST_CASE("house: public headers include the standard library and each other, nothing else",
          "[arch][headers]") {
  for (const auto& file : support::cpp_files("include")) {
    for (const auto& include : support::includes_of(file)) {
      INFO(support::where(include));
      CHECK(include.angle == !include.what.starts_with("stillwell/"));
      if (include.angle) CHECK(is_standard(include.what));
    }
  }
}

TEST_CASE("house: the core links nothing but the standard library", "[arch][headers]") {
  Rooms core = kCore;
  core.insert("frames");
  const std::set<std::string> clocks_and_wires{"thread",     "mutex",  "condition_variable", "fstream",
                                               "filesystem", "random", "iostream",           "atomic",
                                               "future",     "ctime"};
  for (const auto& include : all_includes()) {
    if (!core.contains(room_of_file(include.file.string())) || !include.angle) continue;
    INFO(support::where(include));
    CHECK(is_standard(include.what));
    CHECK_FALSE(clocks_and_wires.contains(include.what));  // pure logic: no clock, file, thread or chance
  }
}

TEST_CASE("house: a header and its source bear the same name in the same room", "[arch][headers]") {
  // A room's own folder may hold private headers; what is quoted from elsewhere comes through include/.
  for (const auto& include : all_includes()) {
    if (include.angle || include.what.starts_with("stillwell/")) continue;
    INFO(support::where(include));
    CHECK(std::filesystem::exists(support::source_root() / include.file.parent_path() / include.what));
  }
}
