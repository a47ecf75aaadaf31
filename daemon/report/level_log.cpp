#include "stillwell/report/level_log.hpp"

#include "stillwell/report/level_rows.hpp"

#include <condition_variable>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <utility>

#include <spdlog/spdlog.h>

namespace stillwell::report {
namespace {

constexpr auto kEndWithin = std::chrono::seconds{3};
/// While the disk hangs or refuses: a day of rows of a large site. What comes then is left out.
constexpr std::size_t kMostHeld = 2'000'000;

}  // namespace

class LevelLog::Impl {
 public:
  Impl(const Model& model, LevelLogOptions options)
      : header_{level_header(model)}, options_{std::move(options)} {}

  void show(const View& view, Instant now) {
    const std::scoped_lock lock{mutex_};
    if (row_due_ && now < *row_due_) return;
    const auto wall = options_.trusted_wall ? options_.trusted_wall() : std::nullopt;
    if (!wall || *wall <= newest_) return;
    row_due_ = now + options_.logging.every;
    if (!write_due_) write_due_ = now + options_.hold_back;
    if (held() < kMostHeld) rows_[to_text(*wall).substr(0, 7)] += level_row(view, *wall);
    newest_ = *wall;
    if (now < *write_due_) return;
    write_due_.reset();
    wanted_ = true;
    wake_.notify_all();
  }

  void run() {
    std::unique_lock lock{mutex_};
    for (bool last = false; !last;) {
      wake_.wait(lock, [this] { return wanted_ || ending_; });
      wanted_ = false;
      last = ending_;  // and nothing is shown any more
      auto rows = std::exchange(rows_, {});
      const Stamp newest = newest_;
      lock.unlock();
      std::erase_if(rows, [this](const auto& one) { return write(one.first, one.second); });
      if (newest > Stamp{})
        forget_levels(options_.directory,
                      std::chrono::floor<std::chrono::days>(
                          newest - std::chrono::round<std::chrono::milliseconds>(options_.logging.keep)));
      lock.lock();
      for (const auto& [month, refused] : rows)
        rows_[month].insert(0, refused);  // before what has come meanwhile
    }
    ended_ = true;
    wake_.notify_all();
  }

  /// False: the disk hangs.
  bool end() {
    std::unique_lock lock{mutex_};
    ending_ = true;
    wake_.notify_all();
    return wake_.wait_for(lock, kEndWithin, [this] { return ended_; });
  }

  std::thread thread;

 private:
  [[nodiscard]] std::size_t held() const {
    std::size_t size = 0;
    for (const auto& [month, text] : rows_)
      size += text.size();
    return size;
  }

  /// A log that cannot be written is missed by nobody at night: told once, and its rows are tried again with
  /// the next ones.
  bool write(const std::string& month, const std::string& text) {
    const auto failure = append_levels(options_.directory, month, header_, text);
    if (failure && !failed_) spdlog::warn("the log of levels is not written: {}", failure->text);
    failed_ = failure.has_value();
    return !failed_;
  }

  const std::string header_;
  const LevelLogOptions options_;
  bool failed_ = false;  ///< the thread's own

  std::mutex mutex_;  // guards what follows
  std::condition_variable wake_;
  std::optional<Instant> row_due_;
  std::optional<Instant> write_due_;
  std::map<std::string, std::string> rows_;  ///< by month
  Stamp newest_{};
  bool wanted_ = false;
  bool ending_ = false;
  bool ended_ = false;
};

LevelLog::LevelLog(const Model& model, const LevelLogOptions& options)
    : impl_{std::make_shared<Impl>(model, options)} {
  impl_->thread = std::thread{[impl = impl_] { impl->run(); }};
}

LevelLog::~LevelLog() {
  if (impl_->end()) {
    impl_->thread.join();
  } else {
    impl_->thread.detach();
  }
}

void LevelLog::show(const View& view, Instant now) {
  impl_->show(view, now);
}

}  // namespace stillwell::report
