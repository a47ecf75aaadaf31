#include "stillwell/command/matrix.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/deliver.hpp"
#include "stillwell/command/matrix_json.hpp"
#include "stillwell/command/named_tank.hpp"
#include "stillwell/report/csv.hpp"
#include "stillwell/report/matrix_sheet.hpp"
#include "stillwell/report/sheet_svg.hpp"
#include "stillwell/report/sheet_text.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/site/words.hpp"

#include <ostream>

namespace stillwell::command {
namespace {

/// What there is to print, and where it goes.
struct Print {
  std::string text;
  std::string file;  ///< empty or "-": standard output
};

int delivered(const Print& print, std::ostream& out, std::ostream& err) {
  return deliver(print.text, print.file, out, err);
}

Print modes(const MatrixRequest& request) {
  if (request.json) return {modes_json(), ""};
  if (!request.csv.empty()) return {report::to_csv(report::modes_grid()), request.csv};
  if (!request.svg.empty()) return {report::to_svg(report::modes_sheet()), request.svg};
  return {report::to_columns(report::modes_sheet()), ""};
}

Print of_site(const MatrixRequest& request, const config::Configuration& configuration) {
  const Model& model = configuration.model;
  const std::string& checksum = configuration.checksum;
  report::Matrix matrix = report::matrix_of(model);
  matrix.reactions = report::reactions_of(model, configuration.wiring);
  const std::string site = name_of(model.name, model.id);
  const std::string file = request.configuration.filename().string();  // wherever it lies, the same print
  if (request.json) return {matrix_json(matrix, site, file, checksum), ""};
  if (!request.csv.empty()) return {report::to_csv(report::grid_of(matrix)), request.csv};
  const report::Sheet sheet = report::sheet_of(matrix, site, source_of(request.configuration, configuration));
  if (!request.svg.empty()) return {report::to_svg(sheet), request.svg};
  return {report::to_columns(sheet), ""};
}

}  // namespace

int matrix(const MatrixRequest& request, std::ostream& out, std::ostream& err) {
  if (request.modes) return delivered(modes(request), out, err);
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  return delivered(of_site(request, *configuration), out, err);
}

}  // namespace stillwell::command
