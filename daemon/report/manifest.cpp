#include "stillwell/report/manifest.hpp"

#include "stillwell/report/durable_file.hpp"
#include "stillwell/report/homie_topics.hpp"

#include <algorithm>
#include <system_error>
#include <utility>

#include <nlohmann/json.hpp>

namespace stillwell::report {
namespace {

constexpr std::uintmax_t kMostBytes = 16U << 20U;  // a thousand tanks and pumps are a quarter of it

/// A byte that a disk got wrong must not delete what others tell: only topics of a form that is ours.
bool is_ours(const std::string& topic, const std::string& site) {
  if (topic.find_first_of("#+") != std::string::npos) return false;
  const std::string root = std::string{kHomieBase} + site;
  if (topic.starts_with(root + "/") || topic.starts_with(root + "-")) return true;
  const auto holds = [&](const std::string& part) { return topic.find(part) != std::string::npos; };
  return topic.ends_with("/config") && (holds("/" + site + "/") || holds("/" + site + "_"));
}

/// Throws what the library throws when it is not of our form.
Retained topics_in(const nlohmann::json& json, const std::string& site) {
  auto retained = json.at("topics").get<Retained>();
  std::erase_if(retained, [&](const auto& one) { return !is_ours(one.first, site); });
  return retained;
}

std::string called_before(const std::string& site) {
  return "this gateway was called `" + site +
         "` before, and what it told as that stays at the broker. If no other gateway bears that name, "
         "delete "
         "homie/5/" +
         site +
         "/#, the like of each of its devices, and its discovery documents (mosquitto_sub --remove-retained)";
}

}  // namespace

Manifest::Manifest(const std::filesystem::path& directory, std::string site) : site_{std::move(site)} {
  if (directory.empty()) return;
  path_ = directory / "retained.json";
  std::error_code error;
  if (!std::filesystem::exists(path_, error)) return;
  const auto text = read_bounded(path_, kMostBytes);
  try {
    const auto json = nlohmann::json::parse(text ? *text : "");
    const auto before = json.at("site").get<std::string>();
    if (before == site_) retained_ = topics_in(json, site_);
    if (before != site_) trouble_ = called_before(before);
  } catch (const std::exception&) {
    trouble_ = path_.string() +
               " is damaged: topics of tanks and pumps that were renamed or removed may stay at the broker. "
               "It is written anew";
  }
}

Retained Manifest::gone(const Retained& now) const {
  Retained gone;
  for (const auto& [topic, parts] : retained_) {
    const auto still = now.find(topic);
    Parts lost;
    for (const auto& part : parts)
      if (still != now.end() && std::ranges::find(still->second, part) == still->second.end())
        lost.insert(part);  // also one that is of another kind now
    if (still == now.end() || !lost.empty()) gone.emplace(topic, std::move(lost));
  }
  return gone;
}

std::optional<Failure> Manifest::add(const Retained& now) {
  const auto before = retained_;
  for (const auto& [topic, parts] : now)
    retained_[topic].insert(parts.begin(), parts.end());
  return retained_ == before ? std::nullopt : save();
}

std::optional<Failure> Manifest::keep_only(const Retained& now) {
  return std::exchange(retained_, now) == now ? std::nullopt : save();
}

std::optional<Failure> Manifest::save() const {
  if (path_.empty()) return {};
  const nlohmann::json json = {{"site", site_}, {"topics", retained_}};
  return replace_durably(path_, json.dump(1) + "\n");
}

}  // namespace stillwell::report
