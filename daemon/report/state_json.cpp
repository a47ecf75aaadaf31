#include "stillwell/report/state_json.hpp"

#include "stillwell/report/kept_body.hpp"

#include <stdexcept>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kVersion = 1;

/// FNV-1a, 64 bits: it tells a torn or changed file from a whole one, and is no protection against malice.
std::string sum_of(const std::string& text) {
  std::uint64_t sum = 0xcbf29ce484222325U;
  for (const char letter : text) {
    sum = (sum ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  }
  return std::to_string(sum);
}

std::string dump(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Kept kept_in(const Json& file) {
  const std::string body = dump(file.at("kept"));
  if (file.at("version").get<int>() != kVersion) throw std::runtime_error("it is of another version");
  if (file.at("sum").get<std::string>() != sum_of(body)) throw std::runtime_error("its sum is wrong");
  return kept_of(body);
}

}  // namespace

std::string to_json(const Kept& kept) {
  const std::string body = body_of(kept);
  return R"({"version":)" + std::to_string(kVersion) + R"(,"sum":")" + sum_of(body) + R"(","kept":)" + body +
         "}\n";
}

Result<Kept> parse_kept(std::string_view text) {
  const Json file = Json::parse(text, nullptr, false);
  if (file.is_discarded()) return Failure{"it is not whole JSON"};
  try {
    return kept_in(file);
  } catch (const std::exception& problem) {
    return Failure{problem.what()};
  }
}

}  // namespace stillwell::report
