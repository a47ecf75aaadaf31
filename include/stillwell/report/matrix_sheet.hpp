#pragma once
// The matrix laid out as tables of texts, for whichever printer.

#include "stillwell/report/matrix.hpp"
#include "stillwell/report/sheet.hpp"

#include <string>
#include <vector>

namespace stillwell::report {

/// Causes by pump, then alarms, then what each cause means and asks for. `source` names the configuration.
Sheet sheet_of(const Matrix& matrix, std::string site, std::string source);
/// Causes and alarms in one table, with a column for each pump and each annunciator: for spreadsheets.
Grid grid_of(const Matrix& matrix);

/// Every cause of the table by how a pump stands, whatever the site.
Grid modes_grid();
Sheet modes_sheet();
/// Whether a cause that stops waits for on_at_least; empty for one that does not stop.
std::string_view minimum_run_word(const CauseRow& row);

}  // namespace stillwell::report
