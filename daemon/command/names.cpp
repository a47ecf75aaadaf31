#include "stillwell/command/names.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <algorithm>
#include <array>
#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using Names = std::vector<std::string>;

template <auto Member>
Names ids(const Model& model) {
  Names all;
  for (const auto& one : model.*Member)
    all.push_back(one.id);
  return all;
}

struct NameKind {
  const char* word;
  Names (*of)(const Model&);
};

constexpr std::array kKinds{
    NameKind{"tank", ids<&Model::tanks>},       NameKind{"pump", ids<&Model::pumps>},
    NameKind{"gauge", ids<&Model::gauges>},     NameKind{"line", ids<&Model::lines>},
    NameKind{"contact", ids<&Model::contacts>}, NameKind{"annunciator", ids<&Model::annunciators>},
    NameKind{"alarm", ids<&Model::alarms>},
};

}  // namespace

std::vector<std::string> name_kinds() {
  Names words;
  for (const NameKind& kind : kKinds)
    words.emplace_back(kind.word);
  return words;
}

int names(const NamesRequest& request, std::ostream& out, std::ostream& err) {
  const auto configuration = configuration_of(request.configuration, err);
  if (!configuration) return service::kUsage;
  nlohmann::ordered_json all = nlohmann::ordered_json::object();
  for (const std::string& word : request.kinds) {
    const auto kind =
        std::find_if(kKinds.begin(), kKinds.end(), [&](const NameKind& row) { return row.word == word; });
    if (kind != kKinds.end()) all[word] = kind->of(configuration->model);
  }
  if (request.json) {
    out << all.dump(2) << '\n';
    return service::kDone;
  }
  for (const auto& kind : all)
    for (const auto& name : kind)
      out << name.get<std::string>() << '\n';
  return service::kDone;
}

}  // namespace stillwell::command
