#include "stillwell/command/section.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/deliver.hpp"
#include "stillwell/command/named_tank.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/report/csv.hpp"
#include "stillwell/report/section.hpp"
#include "stillwell/report/section_svg.hpp"
#include "stillwell/report/sheet_text.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using SectionRows = std::vector<report::SectionRow>;

std::string number_of(const std::optional<Metres>& height) {
  return height ? shortest(height->value()) : "";
}

std::string section_csv(const SectionRows& rows) {
  std::string text = report::csv_line({"kind", "of", "height_m", "until_m", "text"}) + "\n";
  for (const report::SectionRow& row : rows)
    text += report::csv_line({std::string(to_word(row.kind)), row.of, number_of(row.height),
                              number_of(row.until), row.text}) +
            "\n";
  return text;
}

std::string section_json(const Tank& tank, const SectionRows& rows) {
  using Section = nlohmann::ordered_json;
  Section result{{"tank", tank.id}, {"name", tank.name}, {"section", Section::array()}};
  for (const report::SectionRow& row : rows) {
    Section line{{"kind", to_word(row.kind)}};
    if (!row.of.empty()) line["of"] = row.of;
    if (row.height) line["height_m"] = row.height->value();
    if (row.until) line["until_m"] = row.until->value();
    line["text"] = row.text;
    result["section"].push_back(std::move(line));
  }
  return result.dump(2, ' ', false, Section::error_handler_t::replace) + "\n";
}

}  // namespace

int section(const SectionRequest& request, std::ostream& out, std::ostream& err) {
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  const Model& model = configuration->model;
  const auto tank = tank_named(model, request.tank);
  if (!tank) {
    err << "stillwell: " << tank.error() << '\n';
    return service::kUsage;
  }
  const std::string source = source_of(request.configuration, *configuration);
  if (!request.svg.empty()) return deliver(report::section_svg(model, *tank, source), request.svg, out, err);
  if (request.csv) {
    out << section_csv(report::section_rows(model, *tank));
  } else if (request.json) {
    out << section_json(model.tanks[tank->at], report::section_rows(model, *tank));
  } else {
    out << report::to_columns(report::section_sheet(model, *tank, source));
  }
  return service::kDone;
}

}  // namespace stillwell::command
