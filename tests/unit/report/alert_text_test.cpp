// What a person reads on a phone.

#include "stillwell/report/alert_text.hpp"

#include "support/catch.hpp"
#include "support/orchard_model.hpp"

using namespace stillwell;
using namespace stillwell::report;

namespace {

struct Phone {
  Model model = support::orchard_model();
  View view = support::calm_view(model);

  /// The text of the first alarm, made one of another kind.
  std::string reads(AlarmKind kind, AlarmSubject of, AlarmState state = AlarmState::unacknowledged) {
    model.alarms[0].kind = kind;
    model.alarms[0].of = of;
    view.alarms[0].state = state;
    return alert_text(model, view, 0);
  }
};

}  // namespace

TEST_CASE("alert text: it says what is wrong where, beyond which limit, and what to do", "[report][alert]") {
  Phone phone;
  CHECK(phone.reads(AlarmKind::low, TankIndex{0}) ==
        "Header tank: low alarm, the tank runs low, below 0.370 m (15.1 %). Save water and look at the "
        "supply. Priority medium, unacknowledged.");
  phone.model.alarms[0].faster_than = MetresPerSecond{0.02 / 60.0};
  CHECK(phone.reads(AlarmKind::falling, TankIndex{0}).find("falls too fast, more than 20.0 mm/min. Look") !=
        std::string::npos);
  CHECK(phone.reads(AlarmKind::high, TankIndex{0}).find(", above 0.370 m") != std::string::npos);
  CHECK(phone.reads(AlarmKind::line_down, LineIndex{0}, AlarmState::acknowledged) ==
        "line shed: line-down alarm, nothing on it answers. Check the adapter, the cable and the supply of "
        "what hangs on it. Priority medium, acknowledged.");
}

TEST_CASE("alert text: of a pump it says what stopped it", "[report][alert]") {
  Phone phone;
  phone.view.pumps[0].first_out = Cause::source_low;
  CHECK(phone.reads(AlarmKind::tripped, PumpIndex{0}) ==
        "Lift pump: tripped alarm, it was stopped to protect it or a tank: source-low, the suction level is "
        "below source_below. Wait for the source to recover to source_clear. Priority medium, "
        "unacknowledged.");
  // Where the alarm says it all itself, an old trip of another cause would send people to the wrong place.
  CHECK(phone.reads(AlarmKind::stuck_on, PumpIndex{0}).find("source-low") == std::string::npos);
}

TEST_CASE("alert text: of a lock-out it says what locked it out, not what tripped it before",
          "[report][alert]") {
  Phone phone;
  phone.view.pumps[0].first_out = Cause::source_low;
  phone.view.pumps[0].lock_out = Cause::stuck_on;
  const auto text = phone.reads(AlarmKind::locked_out, PumpIndex{0});
  CHECK(text.find("stuck-on, the contact is off and the motor runs") != std::string::npos);
  CHECK(text.find("source-low") == std::string::npos);
}

TEST_CASE("alert text: a consequence names the alarm that came first", "[report][alert]") {
  Phone phone;
  phone.view.alarms[0].brought_by = 2;
  const auto text = phone.reads(AlarmKind::tripped, PumpIndex{0});
  CHECK(text.find("A consequence of cistern/low.") != std::string::npos);
}

TEST_CASE("alert text: what has returned is not told as if it stood", "[report][alert]") {
  Phone phone;
  CHECK(phone.reads(AlarmKind::low, TankIndex{0}, AlarmState::returned_unacknowledged) ==
        "Header tank: low alarm has returned by itself; acknowledge it.");
  CHECK(phone.reads(AlarmKind::low, TankIndex{0}, AlarmState::latched_unacknowledged) ==
        "Header tank: low alarm has returned and is latched; acknowledge and reset it.");
  CHECK(phone.reads(AlarmKind::low, TankIndex{0}, AlarmState::latched_acknowledged) ==
        "Header tank: low alarm has returned and is latched; reset it.");
}

TEST_CASE("alert text: nobody is told of what is normal or put aside", "[report][alert]") {
  Phone phone;
  for (const auto state :
       {AlarmState::normal, AlarmState::shelved, AlarmState::suppressed, AlarmState::out_of_service})
    CHECK(phone.reads(AlarmKind::low, TankIndex{0}, state).empty());
}
