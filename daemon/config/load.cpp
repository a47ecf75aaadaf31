#include "stillwell/config/build.hpp"
#include "stillwell/config/configuration.hpp"

#include <fstream>

namespace stillwell::config {
namespace {

void build_all(Build& build) {
  build_site(build);
  build_broker(build);
  build_lines(build);
  build_gauges(build);
  build_switches(build);
  build_contacts(build);
  build_tanks(build);
  build_alarms(build);
  build_pumps(build);
  check_names(build);
  check_claims(build);
}

Loaded failed(const std::filesystem::path& file, std::string text) {
  Problems problems(file.string());
  problems.add({}, {}, std::move(text));
  return {.configuration = {}, .problems = problems.sorted()};
}

}  // namespace

Loaded parse(std::string_view text, const std::string& file_name) {
  Problems problems(file_name);
  Configuration configuration;
  if (const auto root = read_document(text, problems)) {
    const Checked checked = check_grammar(*root, problems);
    Build build{.root = checked, .problems = problems, .out = configuration};
    build_all(build);
  }
  Loaded loaded{.configuration = {}, .problems = problems.sorted()};
  if (loaded.problems.empty()) loaded.configuration = std::move(configuration);
  return loaded;
}

Loaded load(const std::filesystem::path& file) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (!std::filesystem::exists(status)) return failed(file, "there is no such file");
  if (!std::filesystem::is_regular_file(status)) return failed(file, "is not a file");
  std::ifstream stream(file, std::ios::binary);
  std::string text(kLargestFile + 1, '\0');  // one more than allowed, so that too large a file is told apart
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  if (stream.bad() || !stream.is_open()) return failed(file, "cannot be read; check its owner and mode");
  text.resize(static_cast<std::size_t>(stream.gcount()));
  return parse(text, file.string());
}

}  // namespace stillwell::config
