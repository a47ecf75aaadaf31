#include "stillwell/command/check.hpp"

#include "stillwell/config/findings.hpp"

#include <algorithm>
#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Json = nlohmann::ordered_json;

Json to_json(const config::Problem& problem) {
  return {{"file", problem.file},
          {"line", problem.line},
          {"column", problem.column},
          {"path", problem.path},
          {"text", problem.text}};
}

Json to_json(const std::filesystem::path& file, const config::Loaded& loaded,
             const config::Finding& finding) {
  const config::Place place = config::place_of(loaded, finding);
  return {{"file", file.string()}, {"line", place.line},   {"column", place.column},
          {"path", finding.path},  {"code", finding.code}, {"severity", config::to_word(finding.severity)},
          {"of", finding.of},      {"text", finding.text}};
}

void print_json(const std::filesystem::path& file, const config::Loaded& loaded,
                const std::vector<config::Finding>& findings, std::ostream& out) {
  Json result{{"problems", Json::array()}, {"findings", Json::array()}};
  for (const config::Problem& problem : loaded.problems)
    result["problems"].push_back(to_json(problem));
  for (const config::Finding& finding : findings)
    result["findings"].push_back(to_json(file, loaded, finding));
  out << result.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

std::string counted(std::size_t count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

void print_text(const std::filesystem::path& file, const config::Loaded& loaded,
                const std::vector<config::Finding>& findings, std::ostream& out, std::ostream& err) {
  for (const config::Problem& problem : loaded.problems)
    err << problem.to_text() << "\n";
  if (!loaded.configuration) {
    err << file.string() << " is refused; mend what is told above\n";
    return;
  }
  for (const config::Finding& finding : findings) {
    out << file.string() << ":" << config::place_of(loaded, finding).line << ": "
        << config::to_word(finding.severity) << " [" << finding.code << "] " << finding.of << ": "
        << finding.text << "\n";
  }
  const stillwell::Model& model = loaded.configuration->model;
  out << file.string() << ": " << counted(model.tanks.size(), "tank") << ", "
      << counted(model.pumps.size(), "pump") << ", " << counted(model.lines.size(), "line") << "; no errors, "
      << counted(findings.size(), "finding") << "\n";
}

}  // namespace

int check(const std::filesystem::path& config, bool json, std::ostream& out, std::ostream& err) {
  constexpr int kNothing = 0;
  constexpr int kWarnings = 1;
  constexpr int kErrors = 2;
  const config::Loaded loaded = config::load(config);
  std::vector<config::Finding> findings;
  if (loaded.configuration) findings = config::examine(*loaded.configuration);
  if (json) {
    print_json(config, loaded, findings, out);
  } else {
    print_text(config, loaded, findings, out, err);
  }
  if (!loaded.configuration) return kErrors;
  const bool warned = std::any_of(findings.begin(), findings.end(), [](const config::Finding& finding) {
    return finding.severity == config::Severity::warning;
  });
  return warned ? kWarnings : kNothing;
}

}  // namespace stillwell::command
