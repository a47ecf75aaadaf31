#include "stillwell/config/build.hpp"
#include "stillwell/config/checksum.hpp"
#include "stillwell/config/configuration.hpp"
#include "stillwell/config/small_file.hpp"

namespace stillwell::config {
namespace {

void build_all(Build& build) {
  build_site(build);
  build_broker(build);
  build_notify(build);
  build_log_levels(build);
  build_lines(build);
  build_gauges(build);
  build_switches(build);
  build_meters(build);
  build_contacts(build);
  build_tanks(build);
  build_marks(build);
  build_alarms(build);
  build_pump_sets(build);
  build_pumps(build);
  build_annunciators(build);
  build_trust(build);
  check_meters(build);
  check_witnesses(build);
  check_names(build);
  check_claims(build);
}

Loaded failed(const std::filesystem::path& file, std::string text) {
  Problems problems(file.string());
  problems.add({}, {}, std::move(text));
  return {.configuration = {}, .problems = problems.sorted(), .places = {}};
}

void note_places(const Item& map, const Spot& spot, std::map<std::string, Place>& places) {
  for (const Entry& entry : map.entries) {
    const Spot here{entry.place, spot.under(entry.key)};
    places.emplace(here.path, here.place);
    note_places(entry.value, here, places);
  }
}

}  // namespace

Loaded parse(std::string_view text, const std::string& file_name) {
  Problems problems(file_name);
  Configuration configuration;
  configuration.checksum = checksum_text(text);
  std::map<std::string, Place> places;
  if (const auto root = read_document(text, problems)) {
    note_places(*root, {}, places);
    const Checked checked = check_grammar(*root, problems);
    Build build{.root = checked,
                .problems = problems,
                .out = configuration,
                .folder = std::filesystem::path(file_name).parent_path()};
    build_all(build);
  }
  Loaded loaded{.configuration = {}, .problems = problems.sorted(), .places = std::move(places)};
  if (loaded.problems.empty()) loaded.configuration = std::move(configuration);
  return loaded;
}

Loaded load(const std::filesystem::path& file) {
  const auto text = read_small_file(file, kLargestFile);
  return text ? parse(*text, file.string()) : failed(file, text.error());
}

}  // namespace stillwell::config
