#include "proof/any_site.hpp"

#include <vector>

namespace proof {
namespace {

using support::Dice;

std::string seconds(int count) {
  return std::to_string(count) + " s";
}
std::string percent(int count) {
  return std::to_string(count) + " %";
}

class Writer {
 public:
  explicit Writer(Dice& dice) : dice_{dice} {}

  std::string site() {
    for (const char* tank : {"header", "cistern"})
      add_tank(tank);
    by_floats_ = maybe();
    if (by_floats_)
      add_tank_of_floats("sump");
    else
      add_tank("sump");
    const bool two_lifts = !dice_.one_in(3);
    const bool two_drains = !dice_.one_in(3);
    lifts_share_ = two_lifts && !dice_.one_in(3);
    drains_share_ = two_drains && !dice_.one_in(3);
    std::string pumps = lift("lift") + bore() + drain("drain");
    if (two_lifts) pumps += lift("spare");
    if (maybe()) pumps += mains();
    if (two_drains) pumps += drain("help");
    return "site: { id: orchard, scan: " + std::to_string(500 + dice_.roll(1500)) +
           " ms, stagger: " + seconds(maybe() ? 0 : dice_.roll(6)) +
           " }\nlines:\n  shed: { port: /dev/ttyS9, speed: 9600 8N1, carries: modbus }\ngauges:\n" + gauges_ +
           section("switches", switches_) + section("meters", meters_) + "contacts:\n" + contacts_ +
           "tanks:\n" + tanks_ + "pumps:\n" + pumps + section("pump_sets", sets());
  }

 private:
  static std::string section(const std::string& name, const std::string& body) {
    return body.empty() ? "" : name + ":\n" + body;
  }
  bool maybe() { return dice_.one_in(2); }
  std::string some_seconds(int from, int to) { return seconds(from + dice_.roll(to - from + 1)); }

  std::string station() { return "line: shed, station: " + std::to_string(1 + station_++); }

  void add_tank(const std::string& id) {
    gauges_ += "  " + id + "-top: { " + station() +
               ", distance: { table: input, address: 0, as: u16, unit: mm }, stale_after: 5 s }\n";
    tanks_ += "  " + id + ": { gauge: " + id +
              "-top, to_floor: 3 m, to_full: 50 cm, holds: { capacity: 2500 L } }\n";
  }
  void add_tank_of_floats(const std::string& id) {
    tanks_ += "  " + id + ": { floats: { stop: " + add_switch(id + "-stop", "off") +
              ", start: " + add_switch(id + "-start", "off");
    if (maybe()) tanks_ += ", high: " + add_switch(id + "-high", "on");
    tanks_ += " } }\n";
  }
  std::string sets() {
    std::string text;
    if (lifts_share_) {
      text += "  lifts: { pumps: [lift, spare], " + order() + "start_at: " + percent(35 + dice_.roll(15)) +
              ", stop_at: " + percent(60 + dice_.roll(25));
      if (maybe()) text += ", second_at: " + percent(20 + dice_.roll(15));
      text += " }\n";
    }
    if (drains_share_) {
      text += "  drains: { " + order() + "pumps: [drain, help]";
      if (!by_floats_)
        text += ", start_at: " + percent(50 + dice_.roll(10)) + ", stop_at: " + percent(25 + dice_.roll(15));
      if (!by_floats_ && maybe()) text += ", second_at: " + percent(65 + dice_.roll(20));
      text += " }\n";
    }
    return text;
  }
  std::string order() { return maybe() ? "order: fixed, " : ""; }
  std::string add_switch(const std::string& id, const std::string& broken) {
    switches_ += "  " + id + ": { " + station() +
                 ", table: discrete, address: 0, active: " + (broken == "on" ? "low" : "high") +
                 ", broken: " + broken + ", stale_after: 2 s }\n";
    return id;
  }
  std::string add_contact(const std::string& id) {
    contacts_ += "  " + id + ": { " + station() + ", coil: 0, fails_off: accepted-risk }\n";
    return id;
  }
  std::string add_meter(const std::string& id) {
    meters_ +=
        "  " + id + ": { " + station() + ", table: input, address: 0, as: u16, unit: W, stale_after: 2 s }\n";
    return id;
  }

  /// What every pump may have.
  std::string common(const std::string& id) {
    std::string text = "    contact: " + add_contact(id + "-contact") + "\n";
    if (maybe())
      text += "    feedback: { switch: " + add_switch(id + "-running", "off") +
              ", within: " + some_seconds(4, 8) + " }\n";
    if (dice_.one_in(3)) text += "    isolator: " + add_contact(id + "-isolator") + "\n";
    if (dice_.one_in(3))
      text += "    selector: { off: " + add_switch(id + "-panel-off", "on") +
              ", hand: " + add_switch(id + "-panel-hand", "off") + " }\n";
    text += "    limits: { on_at_least: " + some_seconds(0, 30) + ", off_at_least: " + some_seconds(0, 60) +
            ", after_power_up: " + some_seconds(0, 30);
    if (maybe()) text += ", starts_per_hour: " + std::to_string(1 + dice_.roll(12));
    if (maybe()) text += ", run_at_most: " + some_seconds(60, 300);
    text += " }\n    hand_for: " + some_seconds(60, 180) + "\n";
    if (dice_.one_in(3)) text += "    allowed: [\"22:00-06:00\", \"11:00-15:00\"]\n";
    return text;
  }

  /// The guards against a dry run, of which `must` says that one is needed.
  std::string dry_run(const std::string& id, bool has_source, bool must, bool has_level = true) {
    std::string text;
    if (has_source) text += "source_below: " + percent(10 + dice_.roll(5)) + ", source_clear: 25 %";
    const auto add = [&](const std::string& guard) { text += (text.empty() ? "" : ", ") + guard; };
    if (must || dice_.one_in(3))
      add("flow: { switch: " + add_switch(id + "-flow", "off") + ", within: " + some_seconds(5, 15) + " }");
    if (dice_.one_in(3))
      add("power: { meter: " + add_meter(id + "-power") + ", below: 350 W, for: " + some_seconds(4, 8) +
          " }");
    // Rise shows late, and guards nothing alone (rule 8).
    if (has_level && !text.empty() && dice_.one_in(3))
      add("rise: { at_least: 20 mm/min, within: " + some_seconds(60, 90) + " }");
    if (text.empty()) return "";
    return "    dry_run: { " + text + ", retry: { after: " + some_seconds(60, 120) +
           ", times: " + std::to_string(1 + dice_.roll(3)) + ", proved_by: " + some_seconds(60, 300) +
           " } }\n";
  }

  /// Of one or two that draw from the cistern.
  std::string lift(const std::string& id) {
    const bool watched = !dice_.one_in(3);
    std::string text = "  " + id + ":\n    duty: fill\n    tank: header\n    from: ";
    text += watched ? "cistern\n" : "unwatched\n";
    if (!lifts_share_)
      text += "    start_at: " + percent(30 + dice_.roll(20)) +
              "\n    stop_at: " + percent(60 + dice_.roll(25)) + "\n";
    text += common(id);
    text += dry_run(id, watched, !watched);
    if (maybe()) {
      text += "    trips: { high: " + percent(88 + dice_.roll(8));
      if (maybe()) text += ", float: " + add_switch(id + "-header-float", "on");
      text += " }\n";
    }
    if (dice_.one_in(3)) text += "    source_float: " + add_switch(id + "-cistern-float", "on") + "\n";
    if (dice_.one_in(4)) text += "    needs: [bore]\n";
    return text;
  }

  std::string bore() {
    return "  bore:\n    duty: fill\n    tank: cistern\n    from: unwatched\n    start_at: " +
           percent(30 + dice_.roll(20)) + "\n    stop_at: " + percent(60 + dice_.roll(25)) + "\n" +
           common("bore") + dry_run("bore", false, true);
  }

  /// A valve: nothing to run dry.
  std::string mains() {
    return "  mains:\n    kind: valve\n    duty: fill\n    tank: cistern\n    start_at: " +
           percent(20 + dice_.roll(10)) + "\n    stop_at: " + percent(35 + dice_.roll(20)) + "\n" +
           common("mains");
  }

  /// Of one or two that empty the sump.
  std::string drain(const std::string& id) {
    std::string text = "  " + id + ":\n    duty: drain\n    tank: sump\n";
    if (!by_floats_ && !drains_share_)
      text += "    start_at: " + percent(50 + dice_.roll(20)) +
              "\n    stop_at: " + percent(25 + dice_.roll(15)) + "\n";
    text += common(id) + dry_run(id, !by_floats_ && maybe(), false, !by_floats_);
    if (maybe()) text += "    to: cistern\n    trips: { high: 90 % }\n";
    if (maybe())
      text += "    when_unknown: { run_for: " + some_seconds(10, 60) + ", every: " + some_seconds(90, 200) +
              " }\n";
    return text;
  }

  Dice& dice_;
  int station_ = 0;
  bool by_floats_ = false;  ///< the sump
  bool lifts_share_ = false;
  bool drains_share_ = false;
  std::string gauges_;
  std::string switches_;
  std::string meters_;
  std::string contacts_;
  std::string tanks_;
};

}  // namespace

std::string any_site(Dice& dice) {
  return Writer{dice}.site();
}

}  // namespace proof
