#pragma once
// Writes what must outlive the daemon, on a thread of its own: the scan hands over and never waits for a
// disk.

#include "stillwell/quantity/time.hpp"
#include "stillwell/site/kept.hpp"

#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

namespace stillwell::service {

class Keeper {
 public:
  /// A card that is busy takes a second; beyond this it will not come back by itself.
  static constexpr Duration kHangs = std::chrono::seconds{5};

  struct Parts {
    std::function<std::optional<std::string>(const Kept&)> save;  ///< empty when it is durable, else why not
    std::function<void(const std::string& trouble)> tell;         ///< a new trouble, or its end (empty)
    std::function<void()> saved;                                  ///< more is durable than before
  };

  explicit Keeper(Parts parts);
  ~Keeper();  ///< writes what was handed over last, once
  Keeper(const Keeper&) = delete;
  Keeper& operator=(const Keeper&) = delete;

  /// The newest is what gets written; never blocks for longer than a copy. `as_of`: the scan that it tells
  /// of.
  void keep(Kept kept, Instant as_of);
  /// Waits until everything handed over so far is durable. False when the disk refused or took too long.
  [[nodiscard]] bool settle(Duration limit);
  /// False while the disk refuses, or has not answered for kHangs.
  [[nodiscard]] bool is_well(Instant now) const;
  /// The newest scan that is durable; the epoch before the first one.
  [[nodiscard]] Instant durable() const;

 private:
  void run();
  void write(std::unique_lock<std::mutex>& lock);

  Parts parts_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::optional<Kept> waiting_;
  Instant waiting_as_of_{};
  Instant durable_as_of_{};
  std::optional<Instant> writing_since_;
  std::uint64_t handed_ = 0;   ///< how many were handed over
  std::uint64_t durable_ = 0;  ///< up to which of them the disk has it
  std::string trouble_;
  bool stopping_ = false;
  std::thread thread_;  // last: it uses everything above
};

}  // namespace stillwell::service
