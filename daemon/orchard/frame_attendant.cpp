#include "stillwell/field/frames/encoder.hpp"
#include "stillwell/orchard/attendant.hpp"

#include <algorithm>
#include <deque>

namespace stillwell::orchard {
namespace {

using namespace std::chrono_literals;
using plant::FaultKind;
using plant::Part;

constexpr Duration kShortestPeriod = 100ms;  // free-running sensors send about ten readings a second at most
constexpr Duration kThinking = 20ms;         // an asked sensor measures before it answers
constexpr std::size_t kMostFramesPending = 8;
constexpr std::size_t kGarbageOfFrame = 7;

class FrameAttendant final : public Attendant {
 public:
  FrameAttendant(Yard& yard, GaugeIndex gauge, const config::GaugeWiring& wiring)
      : yard_{yard},
        gauge_{gauge},
        line_{wiring.line},
        format_{std::get<field::FrameFormat>(wiring.source)},
        period_{std::max(wiring.every / 2, kShortestPeriod)} {}

  void hear(ByteView bytes, Moment now) override {
    if (!format_.ask) return;
    const auto asked = std::count(bytes.begin(), bytes.end(), *format_.ask);
    for (std::ptrdiff_t i = 0; i < asked && pending_.size() < kMostFramesPending; ++i)
      prepare(now + kThinking);
  }

  [[nodiscard]] std::optional<Moment> next() const override {
    if (pending_.empty()) return format_.ask ? std::nullopt : std::optional{next_};
    return format_.ask ? pending_.front().due : std::min(pending_.front().due, next_);
  }

  std::optional<Bytes> due(Moment now) override {
    if (!format_.ask && now >= next_) {
      next_ = now + period_;
      prepare(now);
    }
    if (pending_.empty() || pending_.front().due > now) return std::nullopt;
    Bytes bytes = std::move(pending_.front().bytes);
    pending_.pop_front();
    return bytes;
  }

 private:
  void prepare(Moment at) {
    if (pending_.size() >= kMostFramesPending) return;
    yard_.with([&](plant::Plant& plant) {
      if (spoilt(plant, FaultKind::silence) != nullptr) return;
      const plant::Fault* late = spoilt(plant, FaultKind::late);
      const Duration later = late == nullptr ? Duration{0} : std::get<Duration>(late->amount);
      pending_.push_back({at + later, frame(plant)});
    });
  }

  Bytes frame(plant::Plant& plant) {
    if (spoilt(plant, FaultKind::garbage) != nullptr) {
      Bytes bytes;
      for (std::size_t i = 0; i < kGarbageOfFrame; ++i)
        bytes.push_back(chance_.byte());
      return bytes;
    }
    const auto encoded = field::encode(format_, plant.sound(gauge_));
    if (!encoded) return {};  // beyond what the format can say: such a sensor says nothing
    Bytes bytes = *encoded;
    if (spoilt(plant, FaultKind::bad_sum) != nullptr) spoil(bytes);
    return bytes;
  }

  /// A wrong sum; a text line has none, so there a digit becomes a mark.
  void spoil(Bytes& bytes) const {
    if (format_.kind == field::FrameKind::binary) {
      bytes.back() ^= 0x5AU;
    } else {
      bytes[bytes.size() / 2] = '?';
    }
  }

  const plant::Fault* spoilt(const plant::Plant& plant, FaultKind kind) const {
    const plant::Fault* own = plant.fault({Part::gauge, gauge_.at}, kind);
    return own != nullptr ? own : plant.fault({Part::line, line_.at}, kind);
  }

  Yard& yard_;
  GaugeIndex gauge_;
  LineIndex line_;
  field::FrameFormat format_;
  Duration period_;
  plant::Chance chance_{2};
  Moment next_{};
  std::deque<Sending> pending_;
};

}  // namespace

std::unique_ptr<Attendant> attend_frames(Yard& yard, GaugeIndex gauge, const config::Wiring& wiring) {
  return std::make_unique<FrameAttendant>(yard, gauge, wiring.gauges[gauge.at]);
}

}  // namespace stillwell::orchard
