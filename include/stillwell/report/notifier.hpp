#pragma once
// Tells the owner's program, with a thread of its own. Whatever the program does, nobody else waits for it.

#include "stillwell/config/configuration.hpp"
#include "stillwell/report/journal.hpp"

#include <functional>
#include <memory>
#include <string>

namespace stillwell::report {

class Notifier {
 public:
  /// For the journal: that the program fails, and that it works again.
  using Say = std::function<void(Event)>;

  Notifier(std::string site, const config::Notify& notify, Say say);
  ~Notifier();  ///< end(), and waits for it: two seconds at most
  Notifier(const Notifier&) = delete;
  Notifier& operator=(const Notifier&) = delete;

  /// An event that was written to the journal. Never waits.
  void send(const Entry& entry);
  /// Nothing is told any more, and a program that runs has a second left. Never waits.
  void end();

 private:
  class Impl;
  std::shared_ptr<Impl> impl_;  ///< shared with the thread, which a hanging disk may keep for longer
};

}  // namespace stillwell::report
