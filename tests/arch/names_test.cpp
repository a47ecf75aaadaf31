// Several files of a room are compiled as one. Two constants of one name in them are an error then, but one
// in a source that hides one of a header silently means the other thing to the next source of the batch.

#include <regex>
#include <string>
#include <vector>

#include "support/bench_tree.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"

namespace {

struct Constant {
  std::string name;
  std::string space;  ///< the namespace in which the file stands
  std::string file;
};

/// The constants that the files of a folder define outside of functions and classes.
std::vector<Constant> constants_of(const std::string& folder) {
  static const std::regex space{R"(^namespace (stillwell[\w:]*) \{)"};
  static const std::regex definition{R"(^(inline )?constexpr [^={]*\b(k[A-Z]\w*))"};
  std::vector<Constant> found;
  for (const auto& file : support::cpp_files(folder)) {
    std::string in;
    for (const std::string& line : support::lines_of(support::source_root() / file)) {
      std::smatch match;
      if (std::regex_search(line, match, space)) in = match[1];
      if (std::regex_search(line, match, definition)) found.push_back({match[2], in, file.string()});
    }
  }
  return found;
}

/// Seen from the source's namespace without a name of another.
bool is_in_sight(const Constant& of_header, const Constant& of_source) {
  return of_source.space == of_header.space || of_source.space.starts_with(of_header.space + "::");
}

}  // namespace

TEST_CASE("house: no source hides a constant of a header", "[arch][names]") {
  const auto headers = constants_of("include");
  const auto sources = constants_of("daemon");
  CHECK(headers.size() > 20);  // they were read at all
  CHECK(sources.size() > 100);
  for (const Constant& source : sources) {
    for (const Constant& header : headers) {
      if (source.name != header.name) continue;
      INFO(source.name << " in " << source.file << " and in " << header.file);
      CHECK_FALSE(is_in_sight(header, source));
    }
  }
}
