#include "stillwell/rehearsal/record_stand_in.hpp"

#include <sstream>
#include <string>

#include "support/catch.hpp"
#include "support/plant_bench.hpp"

using namespace stillwell;
using namespace std::chrono_literals;

namespace {

constexpr Instant kBegin{1h};

/// A recording that is played to the bench's site.
class Played {
 public:
  explicit Played(const std::string& text)
      : stream_{text},
        stand_in_{*rehearsal::Record::open(stream_, model_), model_,
                  std::vector<Duration>(model_.gauges.size(), 1s)} {
    REQUIRE(at(0s));
  }

  bool at(Duration since) { return stand_in_.advance(kBegin + since); }
  [[nodiscard]] std::optional<Metres> gauge(std::size_t at) const {
    return stand_in_.latest().gauges[at].value;
  }
  [[nodiscard]] const SwitchSample& input(SwitchIndex at) const { return stand_in_.latest().switches[at.at]; }
  rehearsal::RecordStandIn& stand_in() { return stand_in_; }
  [[nodiscard]] const Model& model() const { return model_; }

 private:
  Model model_ = support::bench_model();
  std::istringstream stream_;
  rehearsal::RecordStandIn stand_in_;
};

}  // namespace

TEST_CASE("recording: between two rows the level lies on the line between them", "[rehearsal][recording]") {
  Played played{"at,gauges.header-gauge\n0,1.0\n60,0.4\n120,0.4\n"};
  REQUIRE(played.at(0s));
  CHECK(played.gauge(0) == Metres{1.0});
  REQUIRE(played.at(15s));
  CHECK(played.gauge(0)->value() == Approx(0.85));
  REQUIRE(played.at(60s));
  CHECK(played.gauge(0) == Metres{0.4});
  REQUIRE(played.at(120s));
  CHECK_FALSE(played.at(121s));
}

TEST_CASE("recording: a level becomes what its gauge would say", "[rehearsal][recording]") {
  // The bench: distance gauges 1.5 m above the floor, the depth gauge of the bore 20 cm above it.
  Played played{"at,tanks.header,tanks.bore-well\n0,0.6,0.9\n1,0.6,0.9\n"};
  REQUIRE(played.at(0s));
  CHECK(played.gauge(0)->value() == Approx(0.9));
  CHECK(played.gauge(2)->value() == Approx(0.7));
  CHECK_FALSE(played.gauge(1));
  CHECK(played.stand_in().silent() == std::vector<std::string>{"cistern-gauge", "sump-gauge"});
}

TEST_CASE("recording: its own column goes before that of the tank", "[rehearsal][recording]") {
  Played played{"at,gauges.header-gauge,tanks.header\n0,0.3,0.6\n1,0.3,0.6\n"};
  REQUIRE(played.at(0s));
  CHECK(played.gauge(0) == Metres{0.3});
}

TEST_CASE("recording: while the recorder was off nothing answers", "[rehearsal][recording]") {
  std::string text = "at,tanks.header,switches.header-float\n";
  for (int second = 0; second < 10; ++second)
    text += std::to_string(second) + ",0.5,0\n";
  text += "3600,0.5,0\n3601,0.5,0\n";
  Played played{text};
  REQUIRE(played.at(9s));
  CHECK(played.gauge(0));
  CHECK(played.input(support::kHeaderFloat).closed == false);
  REQUIRE(played.at(20s));
  CHECK_FALSE(played.gauge(0));
  CHECK(played.stand_in().latest().gauges[0].fault == Reason::no_answer);
  CHECK_FALSE(played.input(support::kHeaderFloat).closed);
  REQUIRE(played.at(3600s));
  CHECK(played.gauge(0));
}

TEST_CASE("recording: an empty cell is no answer until the next row", "[rehearsal][recording]") {
  Played played{"at,tanks.header,tanks.sump\n0,0.5,0.5\n1,,0.5\n2,0.5,0.5\n"};
  REQUIRE(played.at(1s));
  CHECK_FALSE(played.gauge(0));
  CHECK(played.gauge(3));
  REQUIRE(played.at(2s));
  CHECK(played.gauge(0));
}

TEST_CASE("recording: contacts and what shows a motor follow the orders", "[rehearsal][recording]") {
  Played played{"at,tanks.header\n0,0.5\n1,0.5\n2,0.5\n"};
  REQUIRE(played.at(0s));
  CHECK(played.stand_in().latest().contacts[support::kLiftContact.at].on == false);
  CHECK(played.input(support::kLiftRunning).closed == false);
  // A float of which nothing is recorded is not on; this one is closed then.
  CHECK(played.input(support::kHeaderFloat).closed == true);
  std::vector<Order> orders(played.model().contacts.size(), Order::off);
  orders[support::kLiftContact.at] = Order::on;
  played.stand_in().drive(orders);
  REQUIRE(played.at(1s));
  CHECK(played.stand_in().latest().contacts[support::kLiftContact.at].on == true);
  CHECK(played.input(support::kLiftRunning).closed == true);
}

TEST_CASE("recording: a row that cannot be read ends it, and is told", "[rehearsal][recording][errors]") {
  Played played{"at,tanks.header\n0,0.5\n1,0.5\n2,wet\n"};
  REQUIRE(played.at(0s));
  CHECK_FALSE(played.at(1s));
  CHECK(played.stand_in().failure() == "line 4: 'wet': expected a number, or nothing");
}
