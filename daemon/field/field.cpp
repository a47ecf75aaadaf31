#include "stillwell/field/field.hpp"

#include "stillwell/field/clock.hpp"
#include "stillwell/field/frame_thread.hpp"
#include "stillwell/field/modbus_thread.hpp"
#include "stillwell/field/pin_thread.hpp"

#include <thread>
#include <utility>

namespace stillwell::field {
namespace {

BoardSize size_of(const config::Wiring& wiring) {
  return {.gauges = wiring.gauges.size(),
          .switches = wiring.switches.size(),
          .meters = wiring.meters.size(),
          .contacts = wiring.contacts.size(),
          .lines = wiring.lines.size()};
}

}  // namespace

class Field::Impl {
 public:
  Impl(const config::Wiring& wiring, std::function<void()> fresh)
      : board_{size_of(wiring), std::move(fresh)} {
    for (std::size_t at = 0; at < wiring.lines.size(); ++at)
      lines_.push_back(thread_for(wiring, LineIndex{at}));
  }

  ~Impl() {
    orders_.stop();
    for (std::thread& thread : threads_)
      thread.join();
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  void start() {
    if (!threads_.empty()) return;
    threads_.reserve(lines_.size());
    for (const auto& line : lines_)
      threads_.emplace_back([&each = *line] { each.run(); });
  }

  bool release(Duration limit) {
    const Instant since = now();
    orders_.begin_release(since);
    const bool all = board_.wait_all_off(since, since + limit);
    orders_.end_release();
    return all;
  }

  [[nodiscard]] std::vector<std::uint64_t> heartbeats() const {
    std::vector<std::uint64_t> beats;
    beats.reserve(lines_.size());
    for (const auto& line : lines_)
      beats.push_back(line->heartbeat());
    return beats;
  }

  Board& board() { return board_; }
  Orders& orders() { return orders_; }

 private:
  std::unique_ptr<LineThread> thread_for(const config::Wiring& wiring, LineIndex line) {
    const config::LineWiring& wired = wiring.lines[line.at];
    switch (wired.carries) {
      case config::Carries::range_frames: return std::make_unique<FrameThread>(wiring, line, board_, orders_);
      case config::Carries::pins:
        return std::make_unique<PinThread>(wiring, line, board_, orders_,
                                           std::make_unique<GpioChip>(wired.port));
      case config::Carries::modbus: break;
    }
    return std::make_unique<ModbusThread>(wiring, line, board_, orders_);
  }

  Board board_;
  Orders orders_;
  std::vector<std::unique_ptr<LineThread>> lines_;
  std::vector<std::thread> threads_;
};

Field::Field(const config::Wiring& wiring, std::function<void()> fresh)
    : impl_{std::make_unique<Impl>(wiring, std::move(fresh))} {}
Field::~Field() = default;

void Field::start() {
  impl_->start();
}
Readings Field::latest() const {
  return impl_->board().latest();
}
std::vector<std::string> Field::troubles() const {
  return impl_->board().troubles();
}
void Field::drive(const std::vector<Order>& contacts, Instant at) {
  impl_->orders().drive(contacts, at);
}
bool Field::release(Duration limit) {
  return impl_->release(limit);
}
std::vector<std::uint64_t> Field::heartbeats() const {
  return impl_->heartbeats();
}

}  // namespace stillwell::field
