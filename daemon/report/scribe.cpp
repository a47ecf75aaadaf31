#include "stillwell/report/scribe.hpp"

#include "stillwell/report/wall_now.hpp"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <thread>
#include <utility>

#include <spdlog/spdlog.h>

namespace stillwell::report {
namespace {

/// More events than a site has in a bad hour; beyond that the disk is hanging.
constexpr std::size_t kQueued = 1000;
constexpr std::size_t kRecent = 10;
/// Numbers that were given and not yet kept when the journal was lost: no more than wait at once.
constexpr std::uint64_t kLeap = kQueued;

std::uint64_t first_seq(std::uint64_t journal, std::uint64_t kept) {
  return kept > journal ? kept + kLeap : journal;
}

constexpr auto kStopWithin = std::chrono::seconds{3};

}  // namespace

class Scribe::Impl : public std::enable_shared_from_this<Impl> {
 public:
  Impl(const ScribeOptions& options, std::function<void(const Entry&)> pass_on)
      : journal_{options.journal},
        site_{options.site},
        pass_on_{std::move(pass_on)},
        newest_in_journal_{journal_.newest_seq()},
        seq_{first_seq(journal_.newest_seq(), options.seq_after)} {
    if (journal_.was_torn()) {
      tell_of_journal(
          "torn-line",
          "The last line of the journal was cut short, as by a power cut. It was left in place and "
          "ended; the event in it may be lost.");
    }
    if (options.seq_after > journal_.newest_seq()) {
      tell_of_journal("events-lost", "The journal ends at number " + std::to_string(journal_.newest_seq()) +
                                         " and the state knows " + std::to_string(options.seq_after) +
                                         ": lines are missing. Numbers go on from " + std::to_string(seq_) +
                                         ", so that none is used twice.");
    } else if (journal_.has_gap()) {
      tell_of_journal("events-lost", "The disk was refusing when the daemon last ended. Numbers up to " +
                                         std::to_string(journal_.newest_seq()) +
                                         " are left out, so that none is used twice.");
    }
  }

  void start() {
    thread_ = std::thread{[self = shared_from_this()] { self->run(); }};
  }

  void tell(Stamp at, Event event) {
    const std::scoped_lock lock{mutex_};
    if (stopping_) return;
    Entry entry{at, ++seq_, std::move(event)};
    recent_.push_back(entry);
    if (recent_.size() > kRecent) recent_.pop_front();
    if (queue_.size() >= kQueued) {
      ++lost_;
      return;
    }
    queue_.push_back(std::move(entry));
    wake_.notify_all();
  }

  std::vector<Entry> recent() {
    const std::scoped_lock lock{mutex_};
    return {recent_.begin(), recent_.end()};
  }
  [[nodiscard]] std::uint64_t newest_in_journal() const { return newest_in_journal_; }
  std::uint64_t newest_seq() {
    const std::scoped_lock lock{mutex_};
    return seq_;
  }

  void stop() {
    if (!thread_.joinable()) return;
    std::unique_lock lock{mutex_};
    stopping_ = true;
    wake_.notify_all();
    const bool ended = wake_.wait_for(lock, kStopWithin, [this] { return ended_; });
    lock.unlock();
    if (ended) {
      thread_.join();
      return;
    }
    spdlog::error("journal: the disk hangs; what was not written yet is lost");
    const std::scoped_lock passing{pass_mutex_};
    pass_on_ = nullptr;
    thread_.detach();  // it owns what it uses, and ends when the disk lets it go
  }

 private:
  void tell_of_journal(std::string cause, std::string text) {
    tell(wall_now(), {EventKind::service, site_, std::move(cause), std::move(text), {}});
  }

  void run() {
    std::unique_lock lock{mutex_};
    while (true) {
      wake_.wait(lock, [this] { return stopping_ || !queue_.empty(); });
      if (queue_.empty()) break;
      const auto batch = std::exchange(queue_, {});
      lock.unlock();
      for (const auto& entry : batch)
        write(entry);
      journal_.sync();
      say_what_was_lost();
      lock.lock();
    }
    ended_ = true;
    wake_.notify_all();
  }

  void write(const Entry& entry) {
    const auto failed = journal_.append(entry);
    works_ = !failed;
    // Once for each time that the disk fails, not once for each event that is lost by it.
    if (failed && refused_++ == 0) spdlog::error("journal: {}", failed->text);
    const std::scoped_lock passing{pass_mutex_};
    if (pass_on_) pass_on_(entry);
  }

  void say_what_was_lost() {
    std::unique_lock lock{mutex_};
    // Only when this event itself will not be lost: it would count itself for ever.
    if (!works_ || refused_ + lost_ == 0 || queue_.size() >= kQueued) return;
    const auto refused = std::exchange(refused_, 0);
    const auto lost = std::exchange(lost_, 0);
    lock.unlock();
    tell_of_journal("events-lost", std::to_string(refused + lost) +
                                       " events are missing from the journal: the disk refused " +
                                       std::to_string(refused) + " of them and was too slow for " +
                                       std::to_string(lost) + ". Look for a full or failing disk.");
  }

  // the thread's own
  Journal journal_;
  const std::string site_;
  std::uint64_t refused_ = 0;  ///< by the disk, since it was last said
  bool works_ = true;

  std::mutex pass_mutex_;  // guards what follows
  std::function<void(const Entry&)> pass_on_;

  std::mutex mutex_;  // guards what follows
  std::condition_variable wake_;
  std::deque<Entry> queue_;
  std::deque<Entry> recent_;
  const std::uint64_t newest_in_journal_;
  std::uint64_t seq_;
  std::uint64_t lost_ = 0;
  bool stopping_ = false;
  bool ended_ = false;

  std::thread thread_;
};

Scribe::Scribe(const ScribeOptions& options, std::function<void(const Entry&)> pass_on)
    : impl_{std::make_shared<Impl>(options, std::move(pass_on))} {}
Scribe::~Scribe() {
  impl_->stop();
}
void Scribe::start() {
  impl_->start();
}
void Scribe::tell(Stamp at, Event event) {
  impl_->tell(at, std::move(event));
}
std::vector<Entry> Scribe::recent() const {
  return impl_->recent();
}
std::uint64_t Scribe::newest_in_journal() const {
  return impl_->newest_in_journal();
}
std::uint64_t Scribe::newest_seq() const {
  return impl_->newest_seq();
}
void Scribe::stop() {
  impl_->stop();
}

}  // namespace stillwell::report
