#include "stillwell/command/search.hpp"

#include "stillwell/command/configuration.hpp"
#include "stillwell/command/progress.hpp"
#include "stillwell/command/search_target.hpp"
#include "stillwell/command/searched.hpp"
#include "stillwell/quantity/listed.hpp"
#include "stillwell/quantity/units.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <algorithm>
#include <ostream>

namespace stillwell::command {
namespace {

/// A device can be searched without a configuration; a name that stands in one cannot.
std::optional<config::Configuration> configuration_for(const SearchRequest& request, std::ostream& err) {
  if (!names_a_device(request.line)) return configuration_of(request.configuration, err);
  return config::load(request.configuration).configuration;
}

config::SerialSpeed speed_of(const config::LineWiring& line) {
  return {line.speed, line.data_bits, line.parity, line.stop_bits};
}

std::vector<config::SerialSpeed> speeds_for(const SearchTarget& target) {
  auto speeds = field::usual_speeds();
  if (!target.is_configured) return speeds;
  const auto own = speed_of(target.line);
  std::erase_if(speeds, [&](const auto& speed) { return field::is_same_speed(speed, own); });
  speeds.insert(speeds.begin(), own);
  return speeds;
}

Result<field::SearchPlan> plan_of(const SearchRequest& request, const SearchTarget& target) {
  constexpr Duration kLeast = std::chrono::milliseconds{20};
  constexpr Duration kMost = std::chrono::seconds{5};
  field::SearchPlan plan{.speeds = speeds_for(target), .stations = {}, .all = request.all};
  const auto stations = field::parse_stations(request.stations);
  if (!stations) return Failure{"--stations: " + stations.error()};
  plan.stations = *stations;
  const auto within = parse_duration(request.reply_within);
  if (!within) return Failure{"--reply-within: " + within.error()};
  if (*within < kLeast || *within > kMost)
    return Failure{"--reply-within: expected " + to_text(kLeast) + " to " + to_text(kMost)};
  plan.reply_within = *within;
  if (request.speeds.empty()) return plan;
  const auto speeds = field::parse_speeds(request.speeds);
  if (!speeds) return Failure{"--speeds: " + speeds.error()};
  plan.speeds = *speeds;
  return plan;
}

void warn_of_contacts(const SearchTarget& target, std::ostream& err) {
  if (!target.contacts.empty()) {
    err << "stillwell: contacts are on this line: " << listed(target.contacts)
        << ". Nothing is written to them, so that each stays as it is, but nobody refreshes or watches them "
           "meanwhile: see that no pump runs\n";
  } else if (!target.is_configured) {
    err << "stillwell: the search only reads, but if relays of pumps are on this line nobody watches them "
           "meanwhile: see that no pump runs\n";
  }
}

std::string place_text(const field::SearchPlan& plan, const field::SearchPlace& place) {
  const std::string speed = field::speed_text(plan.speeds[place.speed]);
  const std::string what = place.asking
                               ? "asking station " + std::to_string(plan.stations.first + place.stations_done)
                               : std::string{"listening"};
  const auto left = std::chrono::ceil<std::chrono::seconds>(field::time_left(plan, place));
  return speed + ": " + what + "; at most " + to_text(Duration{left}) + " left";
}

field::ProposedLine proposed_line(const SearchTarget& target, const field::SearchResult& result) {
  field::ProposedLine line{
      .id = target.line.id, .port = target.line.port, .speed = {}, .is_new = !target.is_configured};
  for (const field::SpeedSeen& seen : result.speeds)
    if (seen.is_recognized() && !field::is_same_speed(seen.speed, speed_of(target.line))) line.is_new = true;
  return line;
}

}  // namespace

int search(const SearchRequest& request, std::ostream& out, std::ostream& err) {
  const auto refuse = [&err](const std::string& text, int code) {
    err << "stillwell: " << text << '\n';
    return code;
  };
  const auto target = target_of(request.line, configuration_for(request, err));
  if (!target) return refuse(target.error(), service::kUsage);
  const auto plan = plan_of(request, *target);
  if (!plan) return refuse(plan.error(), service::kUsage);
  if (const auto held = held_against(*target, request.socket)) return refuse(*held, service::kRefused);
  field::SearchResult result;
  {
    Progress progress{err, stderr_is_terminal()};
    field::Searcher searcher{target->line, *plan, [&](const field::SearchPlace& place) {
                               progress.show(place_text(*plan, place));
                             }};
    if (const auto failure = searcher.open()) return refuse(*failure, service::kUnreachable);
    warn_of_contacts(*target, err);
    result = searcher.run();
  }
  for (const std::string& skipped : result.skipped)
    err << "stillwell: " << skipped << '\n';
  const std::string proposal = field::proposal_of(result, proposed_line(*target, result));
  if (request.json) {
    print_json(result, proposal, out);
  } else {
    print_text(result, proposal, out);
  }
  if (!result.trouble.empty()) return refuse(result.trouble, service::kUnreachable);
  const bool any = std::ranges::any_of(result.speeds, &field::SpeedSeen::is_recognized);
  return any ? service::kDone : service::kAttention;
}

}  // namespace stillwell::command
