#pragma once
// The whole job on one machine: the simulated orchard on its ptys, a private broker, and the real daemon,
// each a process of its own. The tanks are those of the demonstration; nothing flows but what a test orders.

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "support/broker.hpp"
#include "support/process.hpp"

namespace support {

class Gateway {
 public:
  enum class With { broker, no_broker };

  /// `edits`: what stands in the configuration, and what shall stand there instead; before the tests' own
  /// change, that levels may leap.
  using Edits = std::vector<std::pair<std::string, std::string>>;
  explicit Gateway(With with = With::broker, const Edits& edits = {});
  /// Another site, without a broker: a file of config/ whose one serial line is put on a pty, and what its
  /// water does.
  Gateway(const std::string& file, const std::string& scenario, const Edits& edits);

  [[nodiscard]] Broker& broker() { return *broker_; }
  [[nodiscard]] Process& orchard() { return *orchard_; }
  [[nodiscard]] Process& daemon() { return *daemon_; }

  /// `options`: of `run`, besides the places. `launcher`: a program that becomes the daemon, with its words.
  void start_daemon(const std::vector<std::string>& options = {},
                    const std::vector<std::string>& launcher = {});
  /// An order to the orchard, with its answer awaited; throws when it is refused.
  void order(const std::string& text);

  /// Runs a subcommand of stillwell that talks to the daemon, to its end.
  struct Ended {
    int code = -1;
    std::string out;
    std::string err;
  };
  [[nodiscard]] Ended command(const std::vector<std::string>& words) const;

  /// `status --json` at a path ("/pumps/0/state", RFC 6901) as text; empty when there is none.
  [[nodiscard]] std::string status(const std::string& pointer) const;
  /// Waits until the status at a path is this text.
  [[nodiscard]] bool status_becomes(const std::string& pointer, std::string_view wanted) const;

  /// Journal lines that contain every one of the fragments.
  [[nodiscard]] std::vector<std::string> journal(const std::vector<std::string>& fragments) const;
  [[nodiscard]] bool journal_tells(const std::vector<std::string>& fragments) const;

  [[nodiscard]] const TemporaryDirectory& directory() const { return directory_; }
  [[nodiscard]] std::string configuration() const { return directory_.file("stillwell.yaml"); }

 private:
  void start_orchard(const std::string& configured, std::string_view scenario);

  TemporaryDirectory directory_;
  std::unique_ptr<Broker> broker_;
  std::unique_ptr<Process> orchard_;
  std::unique_ptr<Process> daemon_;
};

}  // namespace support
