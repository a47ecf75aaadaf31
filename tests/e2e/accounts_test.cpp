// Rates and water accounts on real bytes: the water of the simulated orchard, told by the real daemon to a
// real broker.

#include <chrono>
#include <csignal>
#include <cstdlib>

#include "support/catch.hpp"
#include "support/gateway.hpp"
#include <nlohmann/json.hpp>

using namespace std::chrono_literals;
using support::eventually;
using support::Gateway;

namespace {

/// What really stands in the header.
double litres_in_header(Gateway& gateway) {
  gateway.order("show");
  const std::string out = gateway.orchard().out();
  const auto at = out.rfind("ok {") + 3;
  const auto truth = nlohmann::json::parse(out.substr(at, out.find('\n', at) - at));
  return truth["tanks"]["header"]["volume_l"];
}

double told(Gateway& gateway, const std::string& id) {
  const auto text = gateway.broker().retained("homie/5/orchard-header/water/" + id);
  return text.empty() ? 0.0 : std::strtod(text.c_str(), nullptr);
}

void stop(Gateway& gateway) {
  gateway.daemon().signal(SIGTERM);
  REQUIRE(gateway.daemon().wait_exit());
}

}  // namespace

TEST_CASE("accounts: a filling is told as it is, its rate and its litres, and outlives a restart",
          "[e2e][accounts]") {
  Gateway gateway;
  stop(gateway);  // with a state behind it the clock counts as trusted on a machine that nobody synchronises
  gateway.order("set header 45 %");
  gateway.order("inflow header 6 L/min");
  gateway.start_daemon();
  const double before = litres_in_header(gateway);
  // 6 L/min into a cylinder of 36 cm: 58.9 mm/min. The first rate comes after five stretches of a
  // twenty-fourth of five minutes, to tens, since five points tell no more; it is told to units as more come.
  CHECK(eventually([&] { return told(gateway, "rate") != 0.0; }, 90s));
  CHECK(told(gateway, "rate") == Approx(58.9).margin(5.0));
  CHECK(eventually([&] { return told(gateway, "rate") == Approx(58.9).margin(0.5); }, 60s));
  CHECK(told(gateway, "flow") == Approx(6.0).margin(0.2));
  CHECK(told(gateway, "time-to-full") > 0.0);
  // Whole litres, less 2 mm of play (0.2 L) and what came before the first look.
  const double came = litres_in_header(gateway) - before;
  CHECK(came > 5.0);
  CHECK(told(gateway, "inflow-today") == Approx(came).margin(1.0));
  CHECK(told(gateway, "draw-today") == 0.0);

  stop(gateway);
  gateway.start_daemon();
  const std::string today = gateway.status("/tanks/0/today/inflow_l");
  CHECK(std::strtod(today.c_str(), nullptr) >= came - 1.0);
}
