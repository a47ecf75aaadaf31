#include "stillwell/report/notifier.hpp"

#include "stillwell/report/letters.hpp"
#include "stillwell/report/notify_rule.hpp"
#include "stillwell/report/program.hpp"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <thread>
#include <utility>

#include <spdlog/spdlog.h>

namespace stillwell::report {
namespace {

using Clock = std::chrono::steady_clock;

/// A little longer than a program has at the end.
constexpr auto kProgramEndsWithin = std::chrono::seconds{2};

/// On one line, as a quotation; empty when it said nothing.
std::string quoted(std::string words) {
  const auto is_blank = [](char c) { return static_cast<unsigned char>(c) <= ' '; };
  std::ranges::replace_if(words, is_blank, ' ');
  std::string text;
  for (const Letter& letter : letters_of(words))
    text += letter.bytes;
  const auto begin = text.find_first_not_of(' ');
  if (begin == std::string::npos) return {};
  return " It said: \"" + text.substr(begin, text.find_last_not_of(' ') + 1 - begin) + "\".";
}

}  // namespace

class Notifier::Impl : public std::enable_shared_from_this<Impl> {
 public:
  Impl(std::string site, const config::Notify& notify, Say say)
      : site_{std::move(site)},
        name_{"The program " + notify.run.front() + " that is told of alarms"},
        program_{notify.run, notify.within},
        say_{std::move(say)},
        rule_{site_, notify} {}

  void start() {
    thread_ = std::thread{[self = shared_from_this()] { self->run(); }};
  }
  void send(const Entry& entry) {
    const std::scoped_lock lock{mutex_};
    rule_.put(entry, Clock::now());
    wake_.notify_all();
  }
  void end() {
    const std::scoped_lock lock{mutex_};
    stopping_ = true;
    program_.stop();
    wake_.notify_all();
  }
  void stop() {
    end();
    std::unique_lock lock{mutex_};
    const bool ended = wake_.wait_for(lock, kProgramEndsWithin, [this] { return ended_; });
    lock.unlock();
    if (ended) return thread_.join();
    spdlog::error("notify: the disk of the program hangs; it is left to itself");
    const std::scoped_lock saying{say_mutex_};
    say_ = nullptr;
    thread_.detach();  // it owns what it uses, and ends when the disk lets it go
  }

 private:
  void run() {
    std::unique_lock lock{mutex_};
    while (!stopping_) {
      const auto crowded_out = rule_.take_crowded_out();
      const auto input = rule_.next(Clock::now());
      if (crowded_out == 0 && !input) {
        wait(lock);
        continue;
      }
      lock.unlock();
      if (crowded_out > 0) tell_crowded_out(crowded_out);
      if (!input) {
        lock.lock();
        continue;
      }
      const ProgramEnd end = program_.run(*input);
      lock.lock();
      if (stopping_ && !end.well) break;  // perhaps only for want of time
      const auto news = rule_.ended(end.well, Clock::now());
      lock.unlock();
      tell(news, end);
      lock.lock();
    }
    if (rule_.waiting() > 0)
      spdlog::warn("notify: the end came before all was told; missing: {}", rule_.waiting());
    ended_ = true;
    wake_.notify_all();
  }

  void wait(std::unique_lock<std::mutex>& lock) {
    if (const auto due = rule_.due()) {
      wake_.wait_until(lock, *due);
    } else {
      wake_.wait(lock);
    }
  }

  void tell(NotifyRule::News news, const ProgramEnd& end) {
    switch (news) {
      case NotifyRule::News::none: return;
      case NotifyRule::News::trying_again:
        spdlog::warn("{} failed: {}.{} It is tried again in a minute.", name_, end.how,
                     quoted(end.last_words));
        return;
      case NotifyRule::News::failing:
        return say("notify", name_ + " failed twice: " + end.how + "." + quoted(end.last_words) +
                                 " Alarms and lock-outs are in the journal; pumps go on without it.");
      case NotifyRule::News::well_again: return say("notify", name_ + " works again.");
    }
  }
  void tell_crowded_out(std::uint64_t events) {
    say("events-lost", name_ + " is too slow: " + std::to_string(events) +
                           " events found no room to wait for it and are told as a count. They are in the "
                           "journal.");
  }
  void say(std::string cause, std::string text) {
    spdlog::warn("{}", text);
    const std::scoped_lock saying{say_mutex_};
    if (!say_) return;
    say_({.kind = EventKind::service, .of = site_, .cause = std::move(cause), .text = std::move(text)});
  }

  const std::string site_;
  const std::string name_;
  Program program_;  // run by the thread, stopped by anybody

  std::mutex say_mutex_;  // guards what follows
  Say say_;

  std::mutex mutex_;  // guards what follows
  std::condition_variable wake_;
  NotifyRule rule_;
  bool stopping_ = false;
  bool ended_ = false;

  std::thread thread_;
};

Notifier::Notifier(std::string site, const config::Notify& notify, Say say)
    : impl_{std::make_shared<Impl>(std::move(site), notify, std::move(say))} {
  impl_->start();
}
Notifier::~Notifier() {
  impl_->stop();
}
void Notifier::send(const Entry& entry) {
  impl_->send(entry);
}
void Notifier::end() {
  impl_->end();
}

}  // namespace stillwell::report
