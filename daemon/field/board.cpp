#include "stillwell/field/board.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::field {

Board::Board(const BoardSize& size, std::function<void()> fresh) : fresh_{std::move(fresh)} {
  readings_.gauges.resize(size.gauges);
  readings_.switches.resize(size.switches);
  readings_.meters.resize(size.meters);
  readings_.contacts.resize(size.contacts);
  readings_.lines.resize(size.lines);
  if (!fresh_) fresh_ = [] {};
}

void Board::put(GaugeIndex gauge, const GaugeSample& sample) {
  {
    const std::lock_guard lock{mutex_};
    readings_.gauges[gauge.at] = sample;
  }
  fresh_();
}

void Board::put(SwitchIndex input, const SwitchSample& sample) {
  {
    const std::lock_guard lock{mutex_};
    readings_.switches[input.at] = sample;
  }
  fresh_();
}

void Board::put(MeterIndex meter, const MeterSample& sample) {
  {
    const std::lock_guard lock{mutex_};
    readings_.meters[meter.at] = sample;
  }
  fresh_();
}

void Board::put(ContactIndex contact, const ContactSample& sample) {
  {
    const std::lock_guard lock{mutex_};
    readings_.contacts[contact.at] = sample;
  }
  contact_changed_.notify_all();
  fresh_();
}

void Board::put(LineIndex line, const LineSample& sample) {
  const std::lock_guard lock{mutex_};
  LineSample& kept = readings_.lines[line.at];
  kept.open = sample.open;
  kept.answered = sample.answered;
  kept.failed = sample.failed;
}

void Board::put_trouble(LineIndex line, std::string text) {
  const std::lock_guard lock{mutex_};
  readings_.lines[line.at].trouble = std::move(text);
}

std::vector<std::string> Board::troubles() const {
  const std::lock_guard lock{mutex_};
  std::vector<std::string> troubles;
  for (const LineSample& line : readings_.lines)
    troubles.push_back(line.trouble);
  return troubles;
}

Readings Board::latest() const {
  const std::lock_guard lock{mutex_};
  return readings_;
}

bool Board::wait_all_off(Instant since, Instant limit) {
  const auto all_off = [&] {
    return std::all_of(readings_.contacts.begin(), readings_.contacts.end(),
                       [&](const ContactSample& c) { return c.on == false && c.at >= since; });
  };
  std::unique_lock lock{mutex_};
  const std::chrono::steady_clock::time_point until{limit.time_since_epoch()};
  return contact_changed_.wait_until(lock, until, all_off);
}

}  // namespace stillwell::field
