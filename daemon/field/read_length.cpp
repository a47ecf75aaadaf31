#include "stillwell/field/read_length.hpp"

namespace stillwell::field {
namespace {

constexpr int kMostSteps = 2;  // three sizes: there is always one that differs from two others
constexpr int kStrikes = 3;
constexpr int kAddresses = 65536;
constexpr int kBitsOfByte = 8;

bool is_bits(config::Table table) {
  return table == config::Table::coil || table == config::Table::discrete;
}

int step_items(config::Table table) {
  return is_bits(table) ? kBitsOfByte : 1;
}

int steps_within_map(const Span& span) {
  const int room = kAddresses - (span.address + span.count);
  const int steps = room / step_items(span.table);
  return steps < 0 ? 0 : (steps < kMostSteps ? steps : kMostSteps);
}

}  // namespace

int reply_bytes(config::Table table, int count) {
  return is_bits(table) ? (count + kBitsOfByte - 1) / kBitsOfByte : 2 * count;
}

ReadLength::ReadLength(const Span& span) : span_{span}, most_steps_{steps_within_map(span)} {}

int ReadLength::count_of(int step) const {
  return span_.count + step * step_items(span_.table);
}

int ReadLength::choose(int avoid) const {
  for (int step = 0; step <= most_steps_; ++step) {
    const int bytes = reply_bytes(span_.table, count_of(step));
    if (bytes != last_bytes_ && bytes != avoid) return count_of(step);
  }
  // Fewer sizes than needed: at least not the size of the last read of this very thing. A module that allows
  // but one size leaves only the silence that the line keeps after every lost reply.
  const bool plain_was_last = reply_bytes(span_.table, span_.count) == last_bytes_;
  return plain_was_last && most_steps_ > 0 ? count_of(1) : span_.count;
}

void ReadLength::answered(int count) {
  last_bytes_ = reply_bytes(span_.table, count);
  if (count > span_.count)
    strikes_ = 0;
  else
    plain_answered_ = true;
}

bool ReadLength::refused(int count) {
  last_bytes_ = reply_bytes(span_.table, count);
  if (count <= span_.count) return false;
  most_steps_ = (count - span_.count) / step_items(span_.table) - 1;
  return true;
}

void ReadLength::unanswered(int count) {
  last_bytes_ = reply_bytes(span_.table, count);
  if (count <= span_.count || !plain_answered_) return;
  plain_answered_ = false;
  if (++strikes_ >= kStrikes) most_steps_ = 0;
}

}  // namespace stillwell::field
