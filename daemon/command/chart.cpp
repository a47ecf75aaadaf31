#include "stillwell/command/chart.hpp"

#include "stillwell/command/chart_levels.hpp"
#include "stillwell/command/configuration.hpp"
#include "stillwell/command/deliver.hpp"
#include "stillwell/command/named_tank.hpp"
#include "stillwell/config/small_file.hpp"
#include "stillwell/report/chart_svg.hpp"
#include "stillwell/report/csv.hpp"
#include "stillwell/service/exit_codes.hpp"
#include "stillwell/site/words.hpp"

#include <algorithm>
#include <array>
#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLargestFile =
    std::size_t{4} * 1024 * 1024;  // a hundred thousand levels and their text

struct Column {
  const char* name;     ///< in CSV and JSON
  const char* heading;  ///< for people
  double (*value)(const Contents&);
  std::string (*text)(const Contents&);
};
constexpr std::array<Column, 5> kColumns{{
    {"level_m", "level", [](const Contents& c) { return c.level.value(); },
     [](const Contents& c) { return to_text(c.level); }},
    {"volume_l", "volume", [](const Contents& c) { return c.volume.value(); },
     [](const Contents& c) { return to_text(c.volume); }},
    {"usable_l", "usable", [](const Contents& c) { return c.usable.value(); },
     [](const Contents& c) { return to_text(c.usable); }},
    {"ullage_l", "ullage", [](const Contents& c) { return c.ullage.value(); },
     [](const Contents& c) { return to_text(c.ullage); }},
    {"percent", "percent", [](const Contents& c) { return c.percent.value(); },
     [](const Contents& c) { return to_text(c.percent); }},
}};

using Rows = std::vector<Contents>;

void print_csv(const Rows& rows, std::ostream& out) {
  std::vector<std::string> fields(kColumns.size());
  std::ranges::transform(kColumns, fields.begin(), &Column::name);
  out << report::csv_line(fields) << '\n';
  for (const Contents& row : rows) {
    std::ranges::transform(kColumns, fields.begin(),
                           [&row](const Column& column) { return shortest(column.value(row)); });
    out << report::csv_line(fields) << '\n';
  }
}

void print_json(const Tank& tank, const Rows& rows, std::ostream& out) {
  Json result{{"tank", tank.id},
              {"name", tank.name},
              {"full_m", tank.full().value()},
              {"capacity_l", tank.capacity().value()},
              {"percent_by", tank.by_volume ? "volume" : "level"},
              {"chart", Json::array()}};
  for (const Contents& row : rows) {
    Json line = Json::object();
    for (const Column& column : kColumns)
      line[column.name] = column.value(row);
    result["chart"].push_back(std::move(line));
  }
  out << result.dump(2, ' ', false, Json::error_handler_t::replace) << '\n';
}

std::string right(const std::string& text, std::size_t width) {
  return std::string(width > text.size() ? width - text.size() : 0, ' ') + text;
}

void print_text(const Tank& tank, const Rows& rows, std::ostream& out) {
  constexpr std::size_t kWidth = 12;
  out << tank.name << ": " << to_text(tank.capacity()) << " at the full line, " << to_text(tank.full())
      << "; unusable below " << to_text(tank.unusable) << "; percent by "
      << (tank.by_volume ? "volume" : "level") << '\n';
  for (const Column& column : kColumns)
    out << right(column.heading, kWidth);
  out << '\n';
  for (const Contents& row : rows) {
    for (const Column& column : kColumns)
      out << right(column.text(row), kWidth);
    out << '\n';
  }
}

Result<std::vector<Metres>> levels_for(const ChartRequest& request, const Tank& tank) {
  if (request.at.empty()) {
    const auto step = parse_length(request.step);
    if (!step) return Failure{"--step: " + step.error()};
    auto levels = levels_by_step(*step, tank.full());
    if (!levels) return Failure{"--step: " + levels.error()};
    return levels;
  }
  const std::string name = request.at + ": ";
  const auto text = config::read_small_file(request.at, kLargestFile);
  if (!text) return Failure{name + text.error()};
  if (text->size() > kLargestFile) return Failure{name + "larger than 4096 kB: thin the levels out"};
  auto levels = levels_of(*text, tank.full());
  if (!levels) return Failure{name + levels.error()};
  return levels;
}

}  // namespace

int chart(const ChartRequest& request, std::ostream& out, std::ostream& err) {
  const auto refused = [&err](const std::string& text) {
    err << "stillwell: " << text << '\n';
    return service::kUsage;
  };
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  const Model& model = configuration->model;
  const auto index = tank_named(model, request.tank);
  if (!index) return refused(index.error());
  const Tank& tank = model.tanks[index->at];
  if (tank.floats) {
    return refused(
        "tank '" + tank.id +
        "' is kept by floats: nobody measures its level, so there is nothing to chart; a tank with "
        "a gauge and holds has a chart");
  }
  if (!request.svg.empty()) {
    const std::string source = source_of(request.configuration, *configuration);
    return deliver(report::chart_svg(tank, name_of(model.name, model.id), source), request.svg, out, err);
  }
  const auto levels = levels_for(request, tank);
  if (!levels) return refused(levels.error());

  Rows rows;
  for (const Metres level : *levels)
    rows.push_back(contents_at(tank, level));
  if (request.csv) {
    print_csv(rows, out);
  } else if (request.json) {
    print_json(tank, rows, out);
  } else {
    print_text(tank, rows, out);
  }
  return service::kDone;
}

}  // namespace stillwell::command
