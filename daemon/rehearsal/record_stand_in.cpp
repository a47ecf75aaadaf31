#include "stillwell/rehearsal/record_stand_in.hpp"

#include <algorithm>
#include <utility>

namespace stillwell::rehearsal {
namespace {

constexpr std::size_t kGapsKept = 15;
constexpr int kUnusual = 3;

Duration median(std::deque<Duration> gaps) {
  const auto middle = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2);
  std::nth_element(gaps.begin(), middle, gaps.end());
  return *middle;
}

}  // namespace

RecordStandIn::RecordStandIn(Record record, const Model& model, std::vector<Duration> every)
    : record_{std::move(record)},
      model_{model},
      every_{std::move(every)},
      gauge_columns_(model.gauges.size()),
      through_tank_(model.gauges.size()),
      switch_columns_(model.switches.size()),
      meter_columns_(model.meters.size()),
      due_(model.gauges.size()),
      ordered_(model.contacts.size(), Order::off) {
  const auto& columns = record_.columns();
  for (std::size_t at = 0; at < columns.size(); ++at) {
    if (const auto* input = std::get_if<SwitchIndex>(&columns[at])) switch_columns_[input->at] = at;
    if (const auto* meter = std::get_if<MeterIndex>(&columns[at])) meter_columns_[meter->at] = at;
    const auto* tank = std::get_if<TankIndex>(&columns[at]);
    if (tank == nullptr) continue;
    for (const TankGauge& one : model.tanks[tank->at].gauges) {
      gauge_columns_[one.gauge.at] = at;
      through_tank_[one.gauge.at] = one.mounting;
    }
  }
  for (std::size_t at = 0; at < columns.size(); ++at) {
    const auto* gauge = std::get_if<GaugeIndex>(&columns[at]);
    if (gauge == nullptr) continue;
    gauge_columns_[gauge->at] = at;
    through_tank_[gauge->at].reset();
  }
  readings_.gauges.resize(model.gauges.size());
  readings_.switches.resize(model.switches.size());
  readings_.meters.resize(model.meters.size());
  readings_.contacts.resize(model.contacts.size());
  readings_.lines.resize(model.lines.size(), LineSample{.open = true});
  read_next();
  if (next_) begins_ = next_->wall;
  current_ = std::exchange(next_, std::nullopt);
  if (current_) read_next();
}

void RecordStandIn::read_next() {
  auto row = record_.next();
  if (!row) {
    failure_ = row.error();
    next_.reset();
    return;
  }
  next_ = *row;
  if (!next_ || !current_) return;
  gaps_.push_back(next_->at - current_->at);
  if (gaps_.size() > kGapsKept) gaps_.pop_front();
  usual_ = median(gaps_);
}

bool RecordStandIn::advance(Instant now) {
  if (!begin_) begin_ = now;
  const Duration at = now - *begin_;
  while (next_ && next_->at <= at) {
    current_ = std::exchange(next_, std::nullopt);
    read_next();
  }
  if (!current_ || !failure_.empty() || (!next_ && at > current_->at)) return false;
  show_gauges(at, now);
  show_the_rest(at, now);
  return true;
}

std::optional<double> RecordStandIn::value_of(std::size_t column, Duration at) const {
  const auto from = current_->cells[column];
  if (!from || at == current_->at || !next_) return at == current_->at ? from : std::nullopt;
  const auto to = next_->cells[column];
  const Duration gap = next_->at - current_->at;
  if (!to || gap > kUnusual * usual_) return std::nullopt;
  return *from + (*to - *from) * (seconds_of(at - current_->at) / seconds_of(gap));
}

void RecordStandIn::show_gauges(Duration at, Instant now) {
  for (std::size_t one = 0; one < readings_.gauges.size(); ++one) {
    if (now < due_[one]) continue;
    due_[one] = now + every_[one];
    GaugeSample& sample = readings_.gauges[one];
    sample = {.at = now, .fault = Reason::no_answer};
    const auto value = gauge_columns_[one] ? value_of(*gauge_columns_[one], at) : std::nullopt;
    if (!value) continue;
    sample.fault = Reason::none;
    sample.value = Metres{*value};
    if (const auto& mounting = through_tank_[one])
      sample.value = model_.gauges[one].rules.measures == Measures::distance
                         ? mounting->to_floor - Metres{*value}
                         : Metres{*value} + mounting->to_floor;
  }
}

/// Of a switch that has no column.
bool RecordStandIn::is_on(SwitchIndex input) const {
  return std::any_of(model_.pumps.begin(), model_.pumps.end(), [&](const Pump& pump) {
    const bool follows = (pump.feedback && pump.feedback->input == input) ||
                         (pump.dry_run.flow && pump.dry_run.flow->input == input);
    return follows && ordered_[pump.contact.at] == Order::on;
  });
}

void RecordStandIn::show_the_rest(Duration at, Instant now) {
  // A switch is not halfway between two rows: it keeps what the first said.
  const auto held = [&](std::size_t column) {
    return value_of(column, at) ? current_->cells[column] : std::nullopt;
  };
  for (std::size_t one = 0; one < readings_.switches.size(); ++one) {
    SwitchSample& sample = readings_.switches[one];
    sample = {.at = now, .closed = {}, .fault = Reason::none};
    if (const auto column = switch_columns_[one]) {
      if (const auto said = held(*column))
        sample.closed = *said != 0.0;
      else
        sample.fault = Reason::no_answer;
    } else {
      sample.closed = is_on({one}) != model_.switches[one].rules.active_low;
    }
  }
  for (std::size_t one = 0; one < readings_.meters.size(); ++one) {
    const auto shown = meter_columns_[one] ? held(*meter_columns_[one]) : std::nullopt;
    readings_.meters[one] = {now, shown, shown ? Reason::none : Reason::no_answer};
  }
  for (std::size_t one = 0; one < readings_.contacts.size(); ++one)
    readings_.contacts[one] = {now, ordered_[one] == Order::on, Reason::none};
  for (LineSample& line : readings_.lines)
    ++line.answered;
}

void RecordStandIn::drive(const std::vector<Order>& contacts) {
  ordered_ = contacts;
}

std::vector<std::string> RecordStandIn::silent() const {
  std::vector<std::string> names;
  for (std::size_t at = 0; at < model_.gauges.size(); ++at)
    if (!gauge_columns_[at]) names.push_back(model_.gauges[at].id);
  for (std::size_t at = 0; at < model_.meters.size(); ++at)
    if (!meter_columns_[at]) names.push_back(model_.meters[at].id);
  return names;
}

}  // namespace stillwell::rehearsal
