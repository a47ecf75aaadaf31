#include "stillwell/orchard/attendant.hpp"

#include <algorithm>
#include <deque>
#include <map>

namespace stillwell::orchard {
namespace {

using namespace std::chrono_literals;

/// Silence that ends a frame. Far longer than 3.5 characters, because a pty hands over a request in one piece
/// and only the computer's own scheduling can tear it apart.
constexpr Duration kEndOfFrame = 40ms;
constexpr std::size_t kLongestFrame = 256;  // MODBUS over Serial Line V1.02: RTU frame
constexpr std::size_t kMostRepliesPending = 16;
constexpr double kTurnaround = 3.5;  // characters of silence between request and reply

bool is_sooner(const Sending& a, const Sending& b) {
  return a.due < b.due;
}

class ModbusAttendant final : public Attendant {
 public:
  ModbusAttendant(Yard& yard, std::map<int, Module> modules, Duration character)
      : yard_{yard}, modules_{std::move(modules)}, character_{character} {}

  void hear(ByteView bytes, Moment now) override {
    if (bytes.empty()) {
      if (now - heard_at_ < kEndOfFrame) return;
      if (!deaf_) serve(now);  // a request of unknown length ends here
      begun_.clear();
      deaf_ = false;
      return;
    }
    heard_at_ = now;
    for (const std::uint8_t byte : bytes)
      take(byte, now);
  }

  [[nodiscard]] std::optional<Moment> next() const override {
    const auto first = std::min_element(pending_.begin(), pending_.end(), is_sooner);
    return first == pending_.end() ? std::nullopt : std::optional{first->due};
  }

  std::optional<Bytes> due(Moment now) override {
    const auto first = std::min_element(pending_.begin(), pending_.end(), is_sooner);
    if (first == pending_.end() || first->due > now) return std::nullopt;
    Bytes bytes = std::move(first->bytes);
    pending_.erase(first);
    return bytes;
  }

 private:
  void take(std::uint8_t byte, Moment now) {
    if (deaf_) return;
    begun_.push_back(byte);
    const auto length = request_length(begun_);
    const bool whole = length && begun_.size() >= *length;
    if (!whole && begun_.size() < kLongestFrame) return;
    // After a broken request nothing tells where the next begins, until the line is silent.
    deaf_ = !serve(now);
    begun_.clear();
  }

  /// False when what was heard is no intact request.
  bool serve(Moment now) {
    if (!is_intact(begun_)) return false;
    const auto module = modules_.find(begun_[0]);
    if (module == modules_.end()) return true;
    const auto reply =
        yard_.with([&](plant::Plant& plant) { return respond(begun_, module->second, plant, chance_); });
    if (!reply || pending_.size() >= kMostRepliesPending) return true;
    // A pty brings the request at once; on a wire its last character would arrive only now.
    const auto on_the_wire = static_cast<double>(begun_.size()) + kTurnaround;
    const auto transit = std::chrono::duration_cast<Duration>(character_ * on_the_wire);
    pending_.push_back({now + transit + reply->late, reply->frame});
    return true;
  }

  Yard& yard_;
  std::map<int, Module> modules_;
  Duration character_;
  plant::Chance chance_{1};
  Bytes begun_;
  bool deaf_ = false;
  Moment heard_at_{};
  std::deque<Sending> pending_;
};

}  // namespace

Duration character_time(const config::LineWiring& line) {
  constexpr std::int64_t kBits = 11;
  return Duration{std::chrono::seconds{kBits}} / std::max(line.speed, 1);
}

std::unique_ptr<Attendant> attend_modbus(Yard& yard, LineIndex line, const config::Wiring& wiring) {
  return std::make_unique<ModbusAttendant>(yard, modules_on(line, wiring),
                                           character_time(wiring.lines[line.at]));
}

}  // namespace stillwell::orchard
