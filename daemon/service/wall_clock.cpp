#include "stillwell/service/wall_clock.hpp"

#include <cstdlib>
#include <ctime>
#include <fstream>

#include <sys/timex.h>

namespace stillwell::service {

bool is_synchronised() {
  timex query{};
  const int state = ::adjtimex(&query);
  return state != -1 && state != TIME_ERROR;
}

std::string boot_id() {
  std::string id;
  std::getline(std::ifstream{"/proc/sys/kernel/random/boot_id"}, id);
  return id;
}

Stamp wall_now() {
  return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

void use_timezone(const std::string& zone) {
  if (!zone.empty()) ::setenv("TZ", (":" + zone).c_str(), 1);
  ::tzset();
}

std::optional<LocalTime> to_local(Stamp stamp) {
  const std::time_t seconds = std::chrono::system_clock::to_time_t(stamp);
  std::tm local{};
  if (::localtime_r(&seconds, &local) == nullptr) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year{local.tm_year + 1900},
                                         std::chrono::month{static_cast<unsigned>(local.tm_mon) + 1U},
                                         std::chrono::day{static_cast<unsigned>(local.tm_mday)}};
  return LocalTime{.day = std::chrono::sys_days{date}.time_since_epoch().count(),
                   .minute_of_day = local.tm_hour * 60 + local.tm_min};
}

std::optional<Stamp> trusted_now(std::optional<Stamp> newest_known) {
  const Stamp now = wall_now();
  const bool goes_on = newest_known && now > *newest_known;
  if (!goes_on && !is_synchronised()) return std::nullopt;
  return now;
}

}  // namespace stillwell::service
